async ([colours, scope]) => {
  document.querySelectorAll('details').forEach(one => { one.open = true; });
  const asked = { resultTypes: ['violations'], elementRef: true, preload: false };
  if (colours) asked.runOnly = { type: 'tag', values: ['cat.color'] };
  const found = await axe.run(scope || document, asked);
  const rules = await axe.getRules();
  return { rules: rules.length, found: found.violations.flatMap(rule => rule.nodes.map(node => ({
    rule: rule.id, impact: node.impact || rule.impact, help: rule.help, html: node.html.slice(0, 180),
    why: (node.failureSummary || '').replace(/\s+/g, ' ').slice(0, 240), ours: !!node.element?.closest('.af'),
  }))) };
}
