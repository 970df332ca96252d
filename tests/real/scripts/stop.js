() => {
  const one = document.activeElement;
  if (!one || one === document.body) return null;
  /* The theme's switch is an input without a size; what one sees of it is its label. */
  const shown = one.matches('input.md-option') ? one.nextElementSibling : one;
  const style = getComputedStyle(shown), box = shown.getClientRects()[0] || shown.getBoundingClientRect();
  const middle = document.elementFromPoint(box.left + box.width / 2, box.top + Math.min(box.height / 2, 12));
  return {
    tag: one.tagName.toLowerCase(), kind: String(one.className.baseVal ?? one.className), text: one.textContent.trim().slice(0, 60),
    name: one.getAttribute('aria-label') || '', role: one.getAttribute('role') || '', id: one.id, href: one.getAttribute('href') || '',
    seen: box.width > 0 && box.height > 0 && box.bottom > 0 && box.right > 0 && box.top < innerHeight && box.left < innerWidth,
    ring: (style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) > 0) || style.boxShadow !== 'none',
    covered: !(middle && (shown.contains(middle) || middle.contains(shown))),
  };
}
