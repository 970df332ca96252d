() => {
  /* WCAG 2.5.8: 24 by 24 CSS pixels, or room around: a circle of 24 pixels about the middle of a smaller target meets
     no other target and no circle of another smaller one. Targets in a sentence or whose height is that of the line they
     stand in are excepted, as is one whose very address another target of full size on the page has. */
  const all = [...document.querySelectorAll('a[href], button, input, select, textarea, summary, label[for], [role=button], [role=link]')]
    .filter(one => one.checkVisibility({ visibilityProperty: true, opacityProperty: true }))
    .map(one => ({ one, box: one.getBoundingClientRect() }))
    .filter(({ one, box }) => box.width > 1 && box.height > 1 && box.bottom > 0 && box.right > 0 && !one.closest('[hidden]')
      && !(one.matches('input') && getComputedStyle(one).opacity === '0'));
  const full = ({ box }) => box.width >= 23.99 && box.height >= 23.99;
  const large = new Set(all.filter(full).map(({ one }) => one.href).filter(Boolean));
  const block = one => { let up = one.parentElement; while (up && /^(inline|contents)/.test(getComputedStyle(up).display)) up = up.parentElement; return up; };
  const inline = one => {
    if (!getComputedStyle(one).display.startsWith('inline')) return false;
    const around = block(one);
    if (!around) return false;
    const rest = around.cloneNode(true);
    rest.querySelectorAll('a, button').forEach(other => other.remove());
    return /[\p{L}\p{N}]/u.test(rest.textContent);
  };
  const small = all.filter(each => !full(each) && !inline(each.one) && !(each.one.href && large.has(each.one.href)));
  const middle = box => [box.left + box.width / 2, box.top + box.height / 2];
  const bad = [];
  for (const each of small) {
    const [x, y] = middle(each.box);
    for (const other of all) {
      if (other.one === each.one || other.one.contains(each.one) || each.one.contains(other.one)) continue;
      if (other.one.htmlFor && document.getElementById(other.one.htmlFor) === each.one || each.one.htmlFor && document.getElementById(each.one.htmlFor) === other.one) continue;
      const near = [...other.one.getClientRects()].some(box =>
        Math.hypot(Math.max(box.left - x, 0, x - box.right), Math.max(box.top - y, 0, y - box.bottom)) < 11.99);
      const [ox, oy] = middle(other.box);
      if (near || (small.includes(other) && Math.hypot(ox - x, oy - y) < 23.99)) {
        bad.push(`${each.box.width.toFixed(1)}×${each.box.height.toFixed(1)} ${each.one.outerHTML.slice(0, 130)} beside ${other.one.outerHTML.slice(0, 90)}`);
        break;
      }
    }
  }
  return { count: all.length, small: small.length, bad: bad.slice(0, 6) };
}
