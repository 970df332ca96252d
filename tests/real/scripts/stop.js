() => {
  const one = document.activeElement;
  if (!one || one === document.body) return null;
  /* The theme's switch is an input without a size; what one sees of it is its label. */
  const shown = one.matches('input.md-option') ? one.nextElementSibling : one;
  const style = getComputedStyle(shown), box = shown.getClientRects()[0] || shown.getBoundingClientRect();
  /* Hidden is what no part of is seen: a table may be taller than the view, with its head below that of the page. */
  const top = Math.max(box.top, 0), bottom = Math.min(box.bottom, innerHeight);
  const hits = [0.1, 0.5, 0.9].map(part => document.elementFromPoint(box.left + box.width / 2, top + (bottom - top) * part));
  return {
    tag: one.tagName.toLowerCase(), kind: String(one.className.baseVal ?? one.className), text: one.textContent.trim().slice(0, 60),
    name: one.getAttribute('aria-label') || '', role: one.getAttribute('role') || '', id: one.id, href: one.getAttribute('href') || '',
    seen: box.width > 0 && box.height > 0 && box.bottom > 0 && box.right > 0 && box.top < innerHeight && box.left < innerWidth,
    ring: (style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0) || style.boxShadow !== 'none',
    covered: !hits.some(hit => hit && (shown.contains(hit) || hit.contains(shown))),
  };
}
