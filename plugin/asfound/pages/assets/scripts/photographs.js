/* Photographs open in a viewer, with what is said of them and their neighbours. Without this script the same link opens
   the picture itself. Everything shown is taken from the page: nothing is asked for but the picture. */
(function () {
  "use strict";
  if (!window.HTMLDialogElement || window.afPhotographs) return;
  window.afPhotographs = true;
  var dialog = null, parts = {}, links = [], at = 0, opener = null;

  function put(parent, name, text, kind) {
    var made = document.createElement(name);
    if (text) made.textContent = text;
    if (kind) made.className = kind;
    parent.appendChild(made);
    return made;
  }
  function button(parent, text, work) {
    var made = put(parent, "button", text);
    made.type = "button";
    made.addEventListener("click", work);
    return made;
  }

  function build() {
    dialog = put(document.body, "dialog", "", "af-viewer");
    dialog.setAttribute("aria-labelledby", "af-viewer-which");
    var bar = put(dialog, "div", "", "af-viewer-bar");
    parts.which = put(bar, "p");
    parts.which.id = "af-viewer-which";
    parts.which.setAttribute("role", "status");
    parts.before = button(bar, "Before", function () { go(-1); });
    parts.after = button(bar, "Next", function () { go(1); });
    parts.close = button(bar, "Close", function () { dialog.close(); });
    var body = put(dialog, "div", "", "af-viewer-body");
    parts.picture = put(body, "img");
    parts.said = put(body, "div", "", "af-viewer-said");
    dialog.addEventListener("keydown", function (event) {
      if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
      if (event.key === "ArrowLeft") go(-1);
      else if (event.key === "ArrowRight") go(1);
      else return;
      event.preventDefault();
    });
    dialog.addEventListener("click", function (event) {
      var box = dialog.getBoundingClientRect();
      var beside = event.target === dialog && (event.clientX < box.left || event.clientX > box.right || event.clientY < box.top || event.clientY > box.bottom);
      if (event.target.closest("a")) opener = null;
      if (beside || !opener) dialog.close();
    });
    dialog.addEventListener("close", function () {
      parts.picture.removeAttribute("src");
      if (opener && opener.isConnected) opener.focus();
    });
  }

  function named(link) { return link.closest("figure").id; }

  function show() {
    var link = links[at], figure = link.closest("figure"), small = link.querySelector("img");
    parts.which.textContent = named(link) + ", picture " + (at + 1) + " of " + links.length;
    parts.picture.width = small.getAttribute("width");
    parts.picture.height = small.getAttribute("height");
    parts.picture.alt = small.alt;
    parts.picture.src = link.href;
    parts.said.textContent = "";
    figure.querySelector("figcaption").childNodes.forEach(function (one) { parts.said.appendChild(one.cloneNode(true)); });
    put(parts.said, "p", "SHA-256 of the untouched original: " + link.dataset.afDigest, "af-viewer-digest");
    [[parts.before, "Before", at - 1], [parts.after, "Next", at + 1]].forEach(function (side) {
      var there = links[side[2]], left = !there && document.activeElement === side[0];
      side[0].textContent = there ? side[1] + ": " + named(there) : "No more";
      side[0].disabled = !there;
      if (left) parts.close.focus();
    });
  }

  function go(by) {
    if (!links[at + by]) return;
    at += by;
    show();
  }

  document.addEventListener("click", function (event) {
    var link = event.target.closest && event.target.closest("a.af-photo");
    if (!link || event.defaultPrevented || event.button || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    if (!dialog || !dialog.isConnected) build();
    links = Array.from(document.querySelectorAll("a.af-photo"));
    at = links.indexOf(link);
    opener = link;
    show();
    dialog.showModal();
    parts.close.focus();
  });
  /* A theme that swaps pages leaves the viewer in place: it closes with the page whose pictures it shows. */
  if (window.document$ && window.document$.subscribe) window.document$.subscribe(function () { if (dialog && dialog.open) dialog.close(); });
})();
