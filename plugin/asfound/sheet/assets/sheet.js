/* The form at the bench. What is typed is kept in this browser from the first key until the server says that it stands
   in the file; a lost connection, a reload, or a server that was ended and started again lose none of it. */
"use strict";
(() => {
  const at = (id) => document.getElementById(id);
  const bench = document.querySelector(".afs-bench");
  const status = at("status");

  async function ask(path, body, more) {
    let answer;
    try {
      answer = await fetch(path, {
        method: body === undefined ? "GET" : "POST", credentials: "same-origin", cache: "no-store",
        headers: { "Content-Type": "application/json" }, body: body === undefined ? undefined : JSON.stringify(body),
        /* A network that goes away may leave a request without any answer; nothing behind it may wait for ever. */
        signal: AbortSignal.timeout(8000), ...more,
      });
    } catch (_) { return { status: 0, said: "The form cannot be reached." }; }
    let told;
    try { told = await answer.json(); } catch (_) { told = { said: "The answer cannot be read." }; }
    return { status: answer.status, ...told };
  }

  /* The list of sheets. */
  document.querySelectorAll("[data-ready]").forEach((one) => one.addEventListener("click", async () => {
    const told = await ask("/ready", { test: one.dataset.ready });
    if (told.status === 200) location.href = `/sheet/${encodeURIComponent(told.sheet)}`;
    else status.textContent = told.said;
  }));
  if (!bench) return;

  const sheet = bench.dataset.sheet;
  const home = `/sheet/${encodeURIComponent(sheet)}`;
  const rows = at("rows");
  const by = at("by");
  const keys = document.querySelector(".afs-keys");
  const store = `asfound ${bench.dataset.case} ${sheet}`;

  /* ---- What waits: row key -> {value, expected, at, by, why, ready}. Typed and not yet known to be written. ---- */

  let waiting = {};
  let tab;
  try { tab = sessionStorage.getItem("asfound tab") || String(Math.random()); sessionStorage.setItem("asfound tab", tab); } catch (_) { tab = "one"; }
  /* Another tab may have put something there since: what is kept is read anew before each change, row by row. */
  function load() { try { return JSON.parse(localStorage.getItem(store)) || {}; } catch (_) { return {}; } }
  let keeps = true;
  function save(key) {
    const all = load();
    if (waiting[key]) all[key] = waiting[key]; else delete all[key];
    try {
      if (Object.keys(all).length) localStorage.setItem(store, JSON.stringify(all)); else localStorage.removeItem(store);
      keeps = true;
    } catch (_) { keeps = false; }
  }
  function drop(key) { delete waiting[key]; save(key); }

  const rowOf = (key) => [...rows.children].find((one) => one.dataset.row === key);
  const cellOf = (row) => row.querySelector(".afs-value");
  function say(row, words, waits) {
    const line = row.querySelector(".afs-said");
    if (line.textContent !== words) line.textContent = words;
    if (waits) line.dataset.waits = ""; else delete line.dataset.waits;
  }

  /* ---- One line over all rows. ---- */

  let stopped = "";
  function tell() {
    const count = Object.keys(waiting).filter((key) => rowOf(key)).length;
    const lost = Object.entries(waiting).filter(([key]) => !rowOf(key));
    const parts = [];
    if (stopped) parts.push(stopped);
    if (count) parts.push(count === 1 ? "1 value is not yet written." : `${count} values are not yet written.`);
    if (lost.length) parts.push(`Typed for rows that are no longer here: ${lost.map(([, one]) => one.value).join(", ")}.`);
    if (!keeps) parts.push("This browser keeps nothing: do not leave the page before all is written.");
    if (!by.value) parts.push("Choose your role, then values can be written.");
    const words = parts.join(" ") || "All that was typed is in the file.";
    if (status.textContent !== words) status.textContent = words;
    if (parts.length) delete status.dataset.calm; else status.dataset.calm = "";
    const left = at("left");
    if (left) {
      const open = Number(bench.dataset.open);
      left.textContent = open ? `${open === 1 ? "1 row is" : `${open} rows are`} empty; say in a row why it was not measured, where you know it.` : "";
    }
  }

  /* ---- What the server says of rows. ---- */

  async function take(told) {
    if (!told.rows) { if (told.version) bench.dataset.version = told.version; return; }
    if (told.closed !== bench.dataset.closed) { location.reload(); return; }
    bench.dataset.open = told.open;
    at("state").textContent = told.state;
    if (told.structure !== bench.dataset.structure) await renew();
    bench.dataset.version = told.version;
    bench.dataset.structure = told.structure;
    for (const [key, one] of Object.entries(told.rows)) {
      const row = rowOf(key);
      if (!row) continue;
      const cell = cellOf(row);
      const untouched = !waiting[key] && cell.value === row.dataset.there;
      row.dataset.there = one.value;
      if (waiting[key] && !waiting[key].ready && waiting[key].value === one.value) { drop(key); unchange(row); say(row, ""); }
      if (untouched && cell.value !== one.value) cell.value = one.value;
      const box = row.querySelector(".afs-told");
      if (box.dataset.html !== one.told && !box.contains(document.activeElement)) { box.innerHTML = one.told; box.dataset.html = one.told; }
    }
    tell();
  }

  /* Rows came or went: the list is fetched anew; where the person is, and what was typed, stay. */
  async function renew() {
    const here = document.activeElement && document.activeElement.closest(".afs-row");
    const place = here && here.dataset.row;
    const number = here ? [...rows.children].indexOf(here) : -1;
    let html;
    try {
      const answer = await fetch(`${home}/rows`, { credentials: "same-origin", cache: "no-store", signal: AbortSignal.timeout(8000) });
      if (!answer.ok) return;
      html = await answer.text();
    } catch (_) { return; }
    bench.querySelector(".afs-main").insertBefore(keys, rows.nextSibling);
    rows.innerHTML = html;
    restore();
    const again = (place && rowOf(place)) || (number >= 0 ? rows.children[number] : null);
    if (again) cellOf(again).focus();
  }

  function restore() {
    for (const [key, one] of Object.entries(waiting)) {
      const row = rowOf(key);
      if (!row) continue;
      cellOf(row).value = one.value;
      if (one.ready) say(row, "Not yet written.", true);
      else say(row, "Typed, not yet written. Enter in its cell writes it.", true);
    }
    tell();
  }

  /* ---- Typing. ---- */

  rows.addEventListener("input", (event) => {
    const cell = event.target;
    if (!cell.classList.contains("afs-value")) return;
    const row = cell.closest(".afs-row");
    const key = row.dataset.row;
    if (cell.value === row.dataset.there) { drop(key); say(row, ""); unchange(row); tell(); return; }
    waiting[key] = { value: cell.value, expected: waiting[key] ? waiting[key].expected : row.dataset.there, at: Date.now(), by: by.value, why: "", ready: false, tab };
    save(key);
    unchange(row);
    say(row, "");
    tell();
  });
  rows.addEventListener("change", (event) => { if (event.target.classList.contains("afs-value")) leave(event.target.closest(".afs-row")); });
  rows.addEventListener("focusin", (event) => {
    if (!event.target.classList.contains("afs-value") || event.target.readOnly) return;
    event.target.closest(".afs-row").append(keys);
  });
  rows.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    if (event.target.dataset.say) { event.preventDefault(); act(event.target.closest(".afs-row"), event.target.dataset.say); return; }
    if (event.target.closest(".afs-change")) { event.preventDefault(); act(event.target.closest(".afs-row"), "strike-value"); return; }
    if (!event.target.classList.contains("afs-value")) return;
    event.preventDefault();
    const row = event.target.closest(".afs-row");
    leave(row);
    if (row.querySelector(".afs-change")) return;
    const all = [...rows.querySelectorAll(".afs-value:not([readonly])")];
    const next = all[all.indexOf(event.target) + (event.shiftKey ? -1 : 1)];
    if (next) { next.focus(); next.select(); } else event.target.blur();
  });

  /* The person leaves a cell: a first value goes on its way, a change is asked about first. */
  function leave(row) {
    const cell = cellOf(row);
    const key = row.dataset.row;
    if (cell.value !== cell.value.trim()) { cell.value = cell.value.trim(); if (waiting[key]) { waiting[key].value = cell.value; save(key); } }
    if (!waiting[key]) return;
    if (cell.value === row.dataset.there) { drop(key); say(row, ""); tell(); return; }
    if (!by.value) { say(row, "Not yet written: choose your role above.", true); tell(); return; }
    if ((waiting[key].expected || bench.dataset.closed) && !waiting[key].why) { change(row, waiting[key].expected, waiting[key].value); return; }
    waiting[key].ready = true;
    waiting[key].by = by.value;
    save(key);
    say(row, "Being written …");
    send();
  }

  function change(row, stands, typed, words) {
    unchange(row);
    const box = at("change").content.firstElementChild.cloneNode(true);
    const was = stands || "nothing";
    box.querySelector(".afs-words").textContent = words || `Change ${was} to ${typed || "nothing"}? ${was} stays on the row, struck, with the time and your role.`;
    row.append(box);
    /* After the browser has moved on by itself, where the person left by the tab key. */
    setTimeout(() => { if (box.isConnected) box.querySelector("input").focus(); }, 0);
    say(row, "Not yet written: say why it is changed.", true);
    tell();
  }
  function unchange(row) { const box = row.querySelector(".afs-change"); if (box) box.remove(); }

  /* ---- On the way, one after another, until all is written. ---- */

  let sending = false;
  let timer = 0;
  function later() { clearTimeout(timer); timer = setTimeout(send, 1500); }
  async function send() {
    if (sending) return;
    sending = true;
    clearTimeout(timer);
    try {
      for (;;) {
        const next = Object.entries(waiting).find(([key, one]) => one.ready && rowOf(key));
        if (!next) break;
        const [key, one] = next;
        const body = { row: key, value: one.value, expected: one.expected, by: one.by, why: one.why, ago: Math.max(0, (Date.now() - one.at) / 1000) };
        const told = await ask(`${home}/value`, body);
        const row = rowOf(key);
        const same = waiting[key] && waiting[key].value === one.value && waiting[key].at === one.at;
        if (told.status === 200) {
          stopped = "";
          if (same) drop(key);
          else if (waiting[key]) { waiting[key].expected = one.value; save(key); }
          if (row) { row.dataset.there = one.value; say(row, same ? "Written." : ""); unchange(row); }
          if (key !== told.row && waiting[key]) { waiting[told.row] = waiting[key]; drop(key); save(told.row); }
          await take(told);
          const there = rowOf(told.row);
          if (there && same) say(there, "Written.");
          continue;
        }
        if (told.status === 401) { stopped = `${told.said} What you typed waits here.`; later(); break; }
        if (told.status === 0 || told.status === 423 || told.status >= 500) {
          stopped = told.status === 0 ? "The form cannot be reached; it is tried again." : told.said;
          Object.keys(waiting).forEach((other) => { const line = rowOf(other); if (line && waiting[other].ready) say(line, "Not yet written.", true); });
          later();
          break;
        }
        stopped = "";
        if (!same || !row) { if (same) { one.ready = false; save(key); } continue; }
        if (told.there !== undefined) {
          row.dataset.there = told.there;
          one.expected = told.there;
          one.why = "";
          one.ready = false;
          save(key);
          if (told.there === "") { one.ready = true; save(key); continue; }
          change(row, told.there, one.value, `${told.said} Strike ${told.there} and write ${one.value}?`);
          continue;
        }
        one.ready = false;
        save(key);
        if (told.why) { change(row, one.expected, one.value); continue; }
        say(row, `Not yet written: ${told.said}${told.mend ? ` ${told.mend}` : ""}`, true);
      }
    } finally { sending = false; tell(); }
  }
  addEventListener("online", send);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) { send(); look(); } });
  addEventListener("beforeunload", (event) => { if (!keeps && Object.keys(waiting).length) event.preventDefault(); });

  /* What other tabs and programs wrote. */
  async function look() {
    if (document.hidden) return;
    const told = await ask(`${home}/now?v=${bench.dataset.version}`);
    if (told.status === 200) { if (stopped) { stopped = ""; send(); } await take(told); tell(); }
    else if (told.status === 401) { stopped = `${told.said} What you typed waits here.`; tell(); }
    else if (told.status === 0) { stopped = "The form cannot be reached; it is tried again."; tell(); }
  }
  setInterval(look, 3000);

  /* ---- Buttons. ---- */

  keys.addEventListener("pointerdown", (event) => { if (event.target.closest("button")) event.preventDefault(); });
  keys.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    const row = keys.closest(".afs-row");
    if (!button || !row) return;
    const cell = cellOf(row);
    if (button.dataset.letters !== undefined) {
      const letters = cell.inputMode !== "text";
      document.querySelectorAll(".afs-value").forEach((one) => { one.inputMode = letters ? "text" : "decimal"; });
      button.textContent = letters ? "figures" : "letters";
      cell.blur(); cell.focus();
      return;
    }
    const word = button.dataset.word;
    cell.focus();
    if (word === "<" || word === ">") cell.value = word + cell.value.replace(/^[<>]/, "");
    else if (word === " of ") cell.value = `${cell.value.trim()}${word}`;
    else cell.value = word;
    cell.dispatchEvent(new Event("input", { bubbles: true }));
  });

  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-act]");
    if (button) act(button.closest(".afs-row"), button.dataset.act);
  });

  async function act(row, what) {
    const key = row && row.dataset.row;
    if (what === "strike-value") {
      const why = row.querySelector(".afs-change input").value.trim();
      if (!why) { say(row, "Not yet written: say why it is changed.", true); row.querySelector(".afs-change input").focus(); return; }
      if (!by.value) { say(row, "Not yet written: choose your role above.", true); return; }
      if (!waiting[key]) return;
      Object.assign(waiting[key], { why, ready: true, by: by.value });
      save(key);
      unchange(row);
      cellOf(row).focus();
      say(row, "Being written …");
      send();
      return;
    }
    if (what === "leave") { drop(key); unchange(row); cellOf(row).value = row.dataset.there; say(row, ""); cellOf(row).focus(); tell(); return; }
    if (what === "change") { const cell = cellOf(row); cell.focus(); cell.select(); return; }
    if (what === "photo") {
      at("photo").open = true;
      at("photo-row").dataset.row = key.startsWith("new:") ? "" : key;
      at("photo-row").textContent = key.startsWith("new:") ? "For the sheet as a whole." : `For row ${key}; its note will name the picture.`;
      at("photo").scrollIntoView({ block: "center" });
      at("p-file").focus();
      return;
    }
    if (what === "send-photo") { await photo(); return; }
    if (!by.value && what !== "again" && what !== "another") { status.textContent = "Choose your role first."; by.focus(); return; }
    if (what === "close" && Object.keys(waiting).length) { status.textContent = "Not closed: there are values that are not yet written."; return; }
    if (what === "begin" && !at("instrument").value) { status.textContent = "Choose the instrument first."; at("instrument").focus(); return; }
    const bodies = {
      again: () => ({ row: key }), checked: () => ({ row: key, by: by.value }),
      remark: () => ({ row: key, by: by.value, text: row.querySelector('[data-say="remark"]').value }),
      strike: () => ({ row: key, by: by.value, why: row.querySelector('[data-say="strike"]').value }),
      begin: () => ({ instrument: at("instrument").value, by: by.value, constants: Object.fromEntries([...document.querySelectorAll("[data-constant]")].map((one) => [one.dataset.constant, one.value.trim()])) }),
      close: () => ({ left: Number(bench.dataset.open), by: by.value }),
      another: () => ({ conditions: Object.fromEntries([...document.querySelectorAll("[data-condition]")].map((one) => [one.dataset.condition, one.value.trim()]).filter(([, text]) => text)) }),
    };
    const told = await ask(`${home}/${what}`, bodies[what]());
    if (told.status !== 200) {
      if (row) say(row, told.said, true); else { status.textContent = told.said; delete status.dataset.calm; }
      if (told.left !== undefined) bench.dataset.open = told.left;
      return;
    }
    if (what === "begin" || what === "close") { location.reload(); return; }
    if (row) row.querySelectorAll("[data-say]").forEach((one) => { one.value = ""; });
    if (what === "another") document.querySelectorAll("[data-condition]").forEach((one) => { one.value = ""; });
    if (document.activeElement && document.activeElement.closest(".afs-told")) document.activeElement.blur();
    await take(told);
    if (what === "strike") await renew();
    const made = rowOf(told.row);
    if (made && (what === "again" || what === "another")) { made.scrollIntoView({ block: "center" }); cellOf(made).focus(); }
  }

  /* ---- A photograph. ---- */

  async function photo() {
    const said = at("p-said");
    const file = at("p-file").files[0];
    if (!file) { said.textContent = "Choose or take a picture first."; return; }
    if (!at("p-shows").value.trim()) { said.textContent = "Say in a sentence what it shows."; at("p-shows").focus(); return; }
    if (!by.value) { said.textContent = "Choose your role first."; by.focus(); return; }
    const faces = at("p-faces").value;
    const told = {
      name: file.name, shows: at("p-shows").value.trim(), by: by.value, view: at("p-view").value, faces: faces ? faces === "yes" : null,
      offset: at("p-offset").value.trim(), row: at("photo-row").dataset.row, items: [bench.dataset.item].filter(Boolean),
    };
    said.textContent = "On its way …";
    const answer = await ask(`${home}/photo`, null, {
      headers: { "Content-Type": "application/octet-stream", "X-Asfound-Photo": encodeURIComponent(JSON.stringify(told)) }, body: file, signal: AbortSignal.timeout(300000),
    });
    if (answer.status !== 200) { said.textContent = `Not in the case: ${answer.said} The picture stays chosen here.`; return; }
    said.textContent = `Registered as ${answer.photo}. ${(answer.notes || []).join(" ")}`;
    at("p-file").value = "";
    at("p-shows").value = "";
    at("photo-row").dataset.row = "";
    at("photo-row").textContent = "For the sheet as a whole.";
    await take(answer);
  }

  /* ---- Begin. ---- */

  const role = `asfound role ${bench.dataset.case}`;
  try { if (!by.value) { const kept = localStorage.getItem(role); if ([...by.options].some((one) => one.value === kept)) by.value = kept; } } catch (_) { /* nothing is kept */ }
  by.addEventListener("change", () => {
    try { localStorage.setItem(role, by.value); } catch (_) { /* nothing is kept */ }
    Object.keys(waiting).forEach((key) => { const row = rowOf(key); if (row && !row.querySelector(".afs-change")) leave(row); });
    tell();
  });
  if (matchMedia("(max-width: 900px)").matches && at("cautions")) at("cautions").open = false;
  waiting = load();
  restore();
  /* What was being written when the page went is on its way again, and what this very tab had in its cells. What another
     tab is still typing is shown and left to whoever types it, or to the person who finds it here. */
  if (!bench.querySelector(".afs-value:disabled")) {
    Object.keys(waiting).forEach((key) => { const row = rowOf(key); if (row && !waiting[key].ready && waiting[key].tab === tab) leave(row); });
    send();
  }
})();
