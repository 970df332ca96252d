() => {
  const bad = [];
  for (const one of document.querySelectorAll('.af *')) {
    if (one.closest('svg') || !one.checkVisibility()) continue;
    const style = getComputedStyle(one);
    if (style.clipPath !== 'none' || style.display === 'inline' || one.closest('figure.af-chart, [style*="clip"]')) continue;
    if (!one.textContent.trim()) continue;
    const cut = one.scrollHeight - one.clientHeight;
    if (cut > 3 && style.overflowY !== 'auto' && style.overflowY !== 'scroll') bad.push(`${cut} px: ${one.outerHTML.slice(0, 140)}`);
    if (one.scrollWidth - one.clientWidth > 1 && style.overflowX === 'hidden') bad.push(`cut sideways: ${one.outerHTML.slice(0, 140)}`);
  }
  return bad.slice(0, 6);
}
