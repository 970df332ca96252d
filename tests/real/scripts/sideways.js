() => {
  const bad = [];
  const wide = document.scrollingElement.scrollWidth;
  if (wide > innerWidth) bad.push(`the page is ${wide} wide`);
  for (const one of document.querySelectorAll('.af *')) {
    if (one.closest('svg') && one.tagName !== 'svg') continue;
    const style = getComputedStyle(one);
    if (style.overflowX === 'auto' || style.overflowX === 'scroll') {
      const named = one.getAttribute('role') === 'region' && one.tabIndex === 0 && (one.getAttribute('aria-label') || '').trim();
      /* Lines of code may scroll as they are; whoever goes by keys comes to them. */
      if (!named && !(one.matches('pre, code') && one.tabIndex === 0) && one.scrollWidth > one.clientWidth) bad.push(`a scroll region without a name: ${one.outerHTML.slice(0, 140)}`);
    }
    if (one.closest('.af-scroll') || !one.checkVisibility() || style.clipPath !== 'none' || one.closest('[data-af-state="live"] .af-still')) continue;
    const box = one.getBoundingClientRect();
    if (box.right > innerWidth + 1 || box.left < -1) bad.push(`runs over the side: ${one.outerHTML.slice(0, 140)}`);
  }
  return bad.slice(0, 6);
}
