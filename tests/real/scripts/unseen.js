() => {
  const out = [], ground = getComputedStyle(document.querySelector('.af')).getPropertyValue('--af-paper');
  let lines = 0;
  for (const svg of document.querySelectorAll('.af-only-wide svg')) {
    const looks = new Map();
    for (const one of svg.querySelectorAll('path, line, polyline')) {
      const s = getComputedStyle(one);
      if (s.stroke === 'none' || one.closest('defs')) continue;
      lines += 1;
      if (s.stroke === getComputedStyle(document.body).backgroundColor) out.push(`not seen: ${one.outerHTML.slice(0, 120)}`);
    }
    for (const text of svg.querySelectorAll('text'))
      if (getComputedStyle(text).fill === getComputedStyle(document.body).backgroundColor && text.textContent.trim()) out.push(`not read: ${text.outerHTML.slice(0, 120)}`);
  }
  return { lines, out: out.slice(0, 6) };
}
