/* Asfound: search. The index is a script beside this one, asked for at the first touch of the box: no worker, no
   request a page from disk may not make. Every text of a case is set as text, never as markup. */
(function () {
  "use strict";
  var here = document.currentScript && document.currentScript.src;
  if (!here) return;
  var root = here.replace(/assets\/asfound\/[^/]*$/, "");
  var SHOWN = 20, EACH = 3, asked = null, ready = null;

  function load() {
    if (!asked) asked = new Promise(function (resolve, reject) {
      var script = document.createElement("script");
      script.src = root + "assets/asfound/asfound-index.js";
      script.onload = function () { ready = prepared(window.afIndex); resolve(ready); };
      script.onerror = reject;
      document.head.appendChild(script);
    });
    return asked;
  }

  /* The same folding as the index was made with. */
  function folded(text) {
    return text.normalize("NFKD").toLowerCase().replace(/\p{M}/gu, "").replace(/\u03c2/g, "\u03c3");
  }
  function bare(text) { return text.replace(/[\s\-./]/g, ""); }

  function spread(runs) {
    var found = [];
    runs.split(",").forEach(function (run) {
      var ends = run.split(":");
      if (ends.length === 1) found.push(run);
      else for (var i = +ends[0]; i <= +ends[1]; i++) found.push(String(i));
    });
    return found;
  }

  function prepared(told) {
    var signs = "0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ-_", value = {};
    for (var i = 0; i < signs.length; i++) value[signs[i]] = i;
    var words = told.words ? told.words.split(" ") : [];
    var cases = told.cases.map(function (one) {
      return {
        id: one[0], title: one[1], about: folded(one[0] + " " + one[1] + " " + one[2]), ids: one[5],
        things: one[3].map(function (t) { var f = folded(t[1]); return { ref: t[0], text: t[1], folded: f, bare: bare(f) }; }),
        findings: one[4][1] ? one[4][1].split(" ").map(function (codes, n) {
          var at = [];
          for (var i = 0; i < codes.length; i += told.width) {
            var place = 0;
            for (var k = 0; k < told.width; k++) place = place * 64 + value[codes[i + k]];
            at.push(place);
          }
          return { ref: "F-" + spread(one[4][0])[n], at: at };
        }) : []
      };
    });
    return { words: words, cases: cases, pages: told.pages, home: told.home, directory: told.directory, common: new Set(told.common.split(" ")) };
  }

  function address(uri) {
    var stem = uri.replace(/\.md$/, "");
    if (!ready.directory) return root + stem + ".html";
    if (ready.directory === "named") return root + stem + (/(^|\/)index$/.test(stem) ? ".html" : "/index.html");
    return root + stem.replace(/(^|\/)index$/, "$1") + (/(^|\/)index$/.test(stem) ? "" : "/");
  }
  function place(one, ref, home) { return address("case/" + one.id + "/" + (home || "index") + ".md") + (ref ? "#" + ref : ""); }

  /* The id as it is written in the case, and its page; null where no record of the case bears it. */
  function record(one, token) {
    if (!/^[a-z]-[a-z0-9-]+$/.test(token)) return null;
    var letter = token.charAt(0).toUpperCase(), rest = token.slice(2), groups = one.ids.split(" ");
    var home = ready.home[letter], known = { ref: letter + "-" + rest, home: home };
    function numbered(run, leaf) {
      var ends = run.split(":");
      return ends.length === 2 && /^\d+$/.test(leaf) && String(+leaf) === leaf && +leaf >= +ends[0] && +leaf <= +ends[1];
    }
    for (var i = 0; i < groups.length; i++) {
      var kind = groups[i].charAt(0), leaves = groups[i].slice(1).split(",");
      for (var k = 0; k < leaves.length; k++) {
        var sheet = leaves[k].split(":");
        if (kind === "S" && letter === "S" && sheet[0] === rest) return known;
        if (kind === "S" && letter === "R" && sheet[1] && rest.indexOf(sheet[0] + "-") === 0 && numbered("1:" + sheet[1], rest.slice(sheet[0].length + 1))) return known;
        if (kind === letter && kind !== "S" && (leaves[k] === rest || numbered(leaves[k], rest))) return known;
      }
    }
    return null;
  }

  function find(text) {
    var tokens = folded(text).split(/\s+/).filter(Boolean);
    var meant = tokens.filter(function (t) { return !ready.common.has(t); });
    if (!meant.length) return null;
    var sets = meant.map(function (t) {
      var found = new Set();
      ready.words.forEach(function (word, at) { if (word.indexOf(t) >= 0) found.add(at); });
      return found;
    });
    var found = [];
    ready.cases.forEach(function (one) {
      var records = new Map(), all = true, weight = 0;
      function add(ref, home, text) {
        var known = records.get(ref);
        if (known) known.count += 1; else records.set(ref, { ref: ref, home: home, text: text, count: 1 });
      }
      meant.forEach(function (token, n) {
        var hit = false, exact = record(one, token), thin = bare(token);
        if (exact) { add(exact.ref, exact.home, ""); hit = true; weight += 4; }
        if (one.about.indexOf(token) >= 0) { hit = true; weight += 3; }
        one.things.forEach(function (t) {
          if (t.folded.indexOf(token) >= 0 || (thin.length > 2 && t.bare.indexOf(thin) >= 0)) { add(t.ref, ready.home.I, t.text); hit = true; weight += 1; }
        });
        one.findings.forEach(function (f) {
          var said = f.at.filter(function (at) { return sets[n].has(at); });
          if (said.length) { add(f.ref, ready.home.F, said.map(function (at) { return ready.words[at]; }).slice(0, 6).join(", ")); hit = true; weight += 1; }
        });
        all = all && hit;
      });
      if (!all) return;
      var best = Array.from(records.values()).sort(function (a, b) { return b.count - a.count; });
      found.push({ one: one, records: best, weight: weight });
    });
    found.sort(function (a, b) { return b.weight - a.weight; });
    var pages = [];
    ready.pages.forEach(function (page) {
      [["", page[1]]].concat(page[2]).forEach(function (entry) {
        var said = folded(entry[1] + " " + entry[0]);
        if (meant.every(function (t) { return said.indexOf(t) >= 0; })) pages.push({ title: entry[1], of: page[1], href: address(page[0]) + (entry[0] ? "#" + entry[0] : "") });
      });
    });
    return { cases: found, pages: pages };
  }

  function put(parent, name, text, kind) {
    var made = document.createElement(name);
    if (text) made.textContent = text;
    if (kind) made.className = kind;
    parent.appendChild(made);
    return made;
  }
  function link(parent, href, text) { var a = put(parent, "a", text); a.href = href; return a; }

  function show(form, text) {
    var said = form.querySelector("[role=status]"), list = form.querySelector("ol");
    list.textContent = "";
    form.dataset.open = text.trim() ? "yes" : "";
    if (!text.trim()) { said.textContent = ""; return; }
    var found = find(text);
    if (!found) { said.textContent = "Only common words: add one that stands in a case."; return; }
    found.cases.slice(0, SHOWN).forEach(function (hit) {
      var entry = put(list, "li");
      link(entry, place(hit.one, "", ""), hit.one.title);
      put(entry, "span", " " + hit.one.id, "af-found-soft");
      if (!hit.records.length) return;
      var inner = put(entry, "ul");
      hit.records.slice(0, EACH).forEach(function (one) {
        var row = put(inner, "li");
        link(row, place(hit.one, one.ref, one.home), one.ref);
        if (one.text) put(row, "span", " " + one.text, "af-found-soft");
      });
    });
    found.pages.slice(0, 8).forEach(function (page) {
      var entry = put(list, "li");
      link(entry, page.href, page.title);
      if (page.of !== page.title) put(entry, "span", " " + page.of, "af-found-soft");
    });
    var count = found.cases.length, more = count > SHOWN ? ", the first " + SHOWN + " shown" : "";
    var other = found.pages.length ? (count ? " and " : "") + found.pages.length + (found.pages.length === 1 ? " place" : " places") + " in the registers" : "";
    said.textContent = count || found.pages.length
      ? (count ? count + (count === 1 ? " case" : " cases") + more : "") + other + "."
      : "Nothing on this site holds \u201c" + text.trim() + "\u201d.";
  }

  function build() {
    if (document.querySelector(".af-search, .md-search, [id$=docs_search_modal]:not(.af-stand-in)")) return;
    var bar = document.querySelector(".md-header__inner") || document.querySelector(".navbar > .container") || document.querySelector(".af");
    if (!bar) return;
    var form = document.createElement("form");
    form.className = "af-search";
    form.setAttribute("role", "search");
    var label = put(form, "label", "Search cases", "af-search-label"), box = put(form, "input");
    box.type = "search"; box.id = "af-search-box"; box.autocomplete = "off"; box.placeholder = "Serial, lot, id, words";
    box.spellcheck = false;
    label.htmlFor = box.id;
    var panel = put(form, "div", "", "af-found");
    var status = put(panel, "p"); status.setAttribute("role", "status");
    put(panel, "ol");
    function look() { load().then(function () { show(form, box.value); }, function () { status.textContent = "The index could not be read."; form.dataset.open = "yes"; }); }
    function close() { form.dataset.open = ""; }
    box.addEventListener("focus", load);
    box.addEventListener("input", look);
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      load().then(function () { show(form, box.value); var first = form.querySelector("ol a"); if (first) first.focus(); });
    });
    form.addEventListener("keydown", function (event) {
      if (event.key === "Escape") { close(); box.focus(); return; }
      if (event.key !== "ArrowDown" && event.key !== "ArrowUp") return;
      var stops = [box].concat(Array.from(form.querySelectorAll("ol a")));
      var at = stops.indexOf(document.activeElement) + (event.key === "ArrowDown" ? 1 : -1);
      if (at < 0 || at >= stops.length) return;
      event.preventDefault();
      stops[at].focus();
    });
    form.addEventListener("click", function (event) { if (event.target.closest("ol a")) close(); });
    document.addEventListener("click", function (event) { if (!form.contains(event.target)) close(); });
    bar.appendChild(form);
  }

  /* The engine's own theme asks for its dialog though its search is gone. One that never opens stands in for it, and
     the key that would open it leads to our box. Its id begins with the name of the engine, which has had two. */
  function standIn(engine) {
    if (!document.documentElement.dataset.bsTheme || document.getElementById(engine + "_search_modal")) return;
    var dialog = put(document.body, "div", "", "modal af-stand-in");
    dialog.id = engine + "_search_modal"; dialog.hidden = true;
    put(dialog, "span").id = engine + "-search-query";
    put(dialog, "span").id = engine + "-search-results";
    dialog.addEventListener("show.bs.modal", function (event) { event.preventDefault(); document.getElementById("af-search-box").focus(); });
  }

  standIn("mkdocs");
  standIn("properdocs");
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", build);
  else build();
})();
