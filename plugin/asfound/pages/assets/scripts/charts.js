/* Charts that can be asked: on a wide screen the drawing of a chart is joined by a live copy of the same data.
   The drawing stays in the page: it is what prints, what is read aloud, and what is left if anything here fails.
   Nothing is fetched but the chart library that lies beside this file. */
(function () {
  "use strict";
  if (window.afCharts) { window.afCharts(); return; }

  var here = document.currentScript && document.currentScript.src;
  var wide = window.matchMedia("(min-width: 821px)");
  var dark = window.matchMedia("(prefers-color-scheme: dark)");
  var library = null;
  var watcher = null;

  function load() {
    if (window.Plotly) return Promise.resolve(window.Plotly);
    if (!library) {
      library = new Promise(function (done, fail) {
        var tag = document.createElement("script");
        tag.src = new URL("plotly-basic.min.js", here || document.baseURI).href;
        tag.onload = function () { if (window.Plotly) done(window.Plotly); else fail(); };
        tag.onerror = function () { fail(); };
        document.head.appendChild(tag);
      });
      library.catch(function () {});
    }
    return library;
  }

  function copy(part, colours) {
    if (typeof part === "string") return colours[part] || part;
    if (Array.isArray(part)) return part.map(function (p) { return copy(p, colours); });
    if (part && typeof part === "object") {
      var out = {};
      Object.keys(part).forEach(function (key) { out[key] = key === "meta" ? part[key] : copy(part[key], colours); });
      return out;
    }
    return part;
  }

  /* What the layout of every chart holds, and the data of one chart as it was before it was packed (figures/packed.py). */
  var GROUND = {"dragmode":"zoom","font":{"color":"#1d2023","family":"Source Sans 3, sans-serif","size":13.5},"hoverlabel":{"align":"left","bgcolor":"#f1eee6","bordercolor":"#565b61","font":{"color":"#1d2023"}},"hovermode":"closest","margin":{"pad":0},"meta":{"colours":{"#1d2023":"--af-ink","#1f5a6b":"--af-mark","#565b61":"--af-soft","#864707":"--af-warn","#8c1d2b":"--af-bad","#d9d5cb":"--af-rule","#f1eee6":"--af-wash","#fbfaf7":"--af-paper"}},"paper_bgcolor":"rgba(0,0,0,0)","plot_bgcolor":"rgba(0,0,0,0)","shapes":[],"showlegend":false,"xaxis":{"color":"#565b61","gridcolor":"#d9d5cb","linecolor":"#1d2023","showline":true,"tickcolor":"#1d2023","tickmode":"array","ticks":"outside","type":"linear","zeroline":false},"yaxis":{"color":"#565b61","gridcolor":"#d9d5cb","tickmode":"array","type":"linear","zeroline":false}};
  var LABEL = {"borderpad":0,"font":{"color":"#565b61"},"showarrow":false,"yanchor":"middle"};

  var OFTEN = [{"color":"#1d2023","line":{"color":"#1d2023","width":1.2},"size":8},{"color":"#1d2023","thickness":1.6,"type":"data","width":3},{"cliponaxis":false,"hovertemplate":"%{customdata[0]}<extra></extra>","mode":"markers","type":"scatter"},{"hoverinfo":"skip","mode":"lines","type":"scatter"},{"color":"#1d2023","dash":"solid","width":1.4}];
  var CONFIG = {"displayModeBar":"hover","displaylogo":false,"modeBarButtons":[["zoom2d","pan2d","resetScale2d"]],"plotlyServerURL":"","responsive":true,"sendData":false,"showEditInChartStudio":false,"showSendToCloud":false,"topojsonURL":""};

  function merged(ground, over) {
    var out = {};
    Object.keys(ground).forEach(function (key) { out[key] = ground[key]; });
    Object.keys(over).forEach(function (key) {
      var both = [ground[key], over[key]].every(function (v) { return v && typeof v === "object" && !Array.isArray(v); });
      out[key] = both ? merged(ground[key], over[key]) : over[key];
    });
    return out;
  }

  function whole(part) {
    if (!part || typeof part !== "object" || Array.isArray(part)) return part;
    var out = {};
    Object.keys(part).forEach(function (key) { if (key !== "$c") out[key] = whole(part[key]); });
    return "$c" in part ? merged(OFTEN[part.$c], out) : out;
  }

  function unpacked(part) {
    if (Array.isArray(part)) return part.map(unpacked);
    if (!part || typeof part !== "object") return part;
    var out = [];
    if (part.$r) {
      for (var i = 0; i < part.$r.length; i += 2) for (var n = 0; n < part.$r[i + 1]; n++) out.push(unpacked(part.$r[i]));
      return out;
    }
    if (part.$s) {
      var sum = 0, scale = Math.pow(10, part.$n);
      return unpacked(part.$s).map(function (step) { sum += step; return sum / scale; });
    }
    if (part.$d) return unpacked(part.$i).map(function (number) { return part.$d[number]; });
    if (part.$j) {
      var columns = part.$j.map(unpacked), leads = part.$a === 1 ? null : unpacked(part.$a);
      return columns[0].map(function (first, row) {
        var lines = columns.map(function (column) { return column[row]; }).filter(function (line) { return line !== null; });
        return [lines.join("<br>"), leads ? leads[row] : "#" + lines[lines.length - 1]];
      });
    }
    if (part.$z) {
      part.$z.map(unpacked).forEach(function (column, at) { column.forEach(function (v, row) { (out[row] = out[row] || [])[at] = v; }); });
      return out;
    }
    var fields = part.$t || part, made = {};
    Object.keys(fields).forEach(function (key) { made[key] = unpacked(fields[key]); });
    if (!part.$t) return made;
    Object.keys(made).forEach(function (key) {
      made[key].forEach(function (v, row) { out[row] = out[row] || {}; if (v !== null) out[row][key] = v; });
    });
    return out;
  }

  /* The chart's data with the colours and the type that the page has now. */
  function dressed(figure) {
    var told = unpacked(JSON.parse(figure.querySelector("template").content.textContent));
    told.config = told.config || CONFIG;
    told.data = told.data.map(whole);
    told.layout = merged(GROUND, told.layout);
    (told.layout.annotations || []).forEach(function (label, at, all) { all[at] = merged(LABEL, label); });
    var style = getComputedStyle(figure);
    var names = told.layout.meta.colours;
    var colours = {};
    Object.keys(names).forEach(function (literal) { colours[literal] = style.getPropertyValue(names[literal]).trim() || literal; });
    var spec = copy(told, colours);
    spec.layout.font.family = style.getPropertyValue("--af-sans").trim() || spec.layout.font.family;
    return spec;
  }

  function follow(event) {
    var told = event.points && event.points[0] && event.points[0].customdata;
    if (told && told[1]) window.location.assign(told[1]);
  }

  function enhance(figure) {
    if (figure.dataset.afState) return;
    figure.dataset.afState = "loading";
    var live = document.createElement("div");
    load().then(function (Plotly) {
      if (!figure.isConnected) return;
      var spec = dressed(figure);
      live.className = "af-live";
      live.setAttribute("aria-hidden", "true");
      figure.insertBefore(live, figure.firstChild);
      return Plotly.newPlot(live, spec.data, spec.layout, spec.config).then(function () {
        live.on("plotly_click", follow);
        live.querySelectorAll("a,button,[tabindex]").forEach(function (tool) { tool.tabIndex = -1; });
        figure.dataset.afState = "live";
      });
    }).catch(function () {
      live.remove();
      figure.dataset.afState = "still";
    });
  }

  function recolour() {
    if (!window.Plotly) return;
    document.querySelectorAll('figure[data-af-state="live"]').forEach(function (figure) {
      var spec = dressed(figure);
      window.Plotly.react(figure.querySelector(".af-live"), spec.data, spec.layout, spec.config);
    });
  }

  function mount() {
    if (watcher) watcher.disconnect();
    if (!wide.matches || !("IntersectionObserver" in window)) return;
    watcher = new IntersectionObserver(function (seen) {
      seen.forEach(function (entry) {
        if (entry.isIntersecting) { watcher.unobserve(entry.target); enhance(entry.target); }
      });
    }, { rootMargin: "240px" });
    document.querySelectorAll("figure[data-af-chart]").forEach(function (figure) {
      if (!figure.dataset.afState) watcher.observe(figure);
    });
  }

  function start() {
    mount();
    var look = { attributes: true, attributeFilter: ["data-md-color-scheme", "data-bs-theme"] };
    var scheme = new MutationObserver(recolour);
    scheme.observe(document.body, look);
    scheme.observe(document.documentElement, look);
    if (window.document$ && window.document$.subscribe) window.document$.subscribe(mount);
  }

  /* A folded table does not print, so it is opened for the time of printing. */
  function fold(open) {
    return function () {
      document.querySelectorAll(".af details").forEach(function (d) {
        if (open && !d.open) { d.open = true; d.dataset.afOpened = ""; }
        if (!open && "afOpened" in d.dataset) { d.open = false; delete d.dataset.afOpened; }
      });
    };
  }

  window.afCharts = mount;
  window.addEventListener("beforeprint", fold(true));
  window.addEventListener("afterprint", fold(false));
  dark.addEventListener("change", recolour);
  wide.addEventListener("change", mount);
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
