// The desk's half in the page: it listens to the desk and brings the page up to date in place, so that
// scroll, focus and what is unfolded stay. Only a page that is looked at listens: browsers allow few
// streams to one host, and a page kept for going back must not hold one.
(function () {
  "use strict";
  const me = document.currentScript.dataset, root = document.documentElement;
  const own = ".bubble, .found, .told, .toggle, #desk, #desk-errors, #desk-told"; // scripts' own: left alone
  const marks = ".card, .prose > *, .finding, .piece, .plate, .lines li, .block > div, tr";
  const opened = new Set(); // details that the reader unfolded, by their keys
  const changed = new Set(); // elements to mark after a patch
  let source = null, timer = 0, wait = 0, full = false, sought = "";

  // An element is found again by its nearest named ancestor and its number among its like in there.
  function keyOf(e) {
    const home = e.closest("[id]");
    if (!home) { return ""; }
    return home === e ? e.id : [home.id, e.nodeName, Array.from(home.querySelectorAll(e.nodeName)).indexOf(e)].join("\n");
  }
  function find(key) {
    const part = key.split("\n"), home = document.getElementById(part[0]);
    return home && part.length > 1 ? home.querySelectorAll(part[1])[+part[2]] : home;
  }

  // Patching: the old tree is made like the new one. What has the same id is the same; else what is equal.
  function children(n) { return Array.from(n.childNodes).filter((c) => c.nodeType !== 1 || !c.matches(own)); }
  function same(a, b) {
    return a.nodeName === b.nodeName && (a.id || b.id ? a.id === b.id : a.isEqualNode(b));
  }
  function touch(n) {
    const e = n.nodeType === 1 ? n : n.parentElement, m = e && e.closest(marks);
    if (m) { changed.add(m); }
  }
  function attributes(a, b) {
    for (const at of Array.from(b.attributes)) {
      if (at.name !== "open" && a.getAttribute(at.name) !== at.value) { a.setAttribute(at.name, at.value); touch(a); }
    }
    for (const at of Array.from(a.attributes)) {
      if (at.name !== "open" && !b.hasAttribute(at.name)) { a.removeAttribute(at.name); touch(a); }
    }
  }
  function pair(old, fresh) { // the partner of each new child among the old ones, or nothing
    const partner = new Array(fresh.length), taken = new Set(), named = new Map();
    old.forEach((n) => { if (n.id) { named.set(n.id, n); } });
    const take = (i, n) => { partner[i] = n; taken.add(n); };
    let from = 0;
    fresh.forEach((n, i) => {
      if (n.id) {
        const twin = named.get(n.id);
        if (twin && twin.nodeName === n.nodeName) { take(i, twin); }
        return;
      }
      for (let k = from; k < old.length && k < from + 40; k++) {
        if (!taken.has(old[k]) && same(old[k], n)) { take(i, old[k]); from = k + 1; return; }
      }
    });
    const spare = old.filter((n) => !n.id && !taken.has(n));
    fresh.forEach((n, i) => {
      if (partner[i] || n.id) { return; }
      const k = spare.findIndex((x) => x.nodeName === n.nodeName);
      if (k >= 0) { take(i, spare[k]); spare.splice(k, 1); }
    });
    return partner;
  }
  function morph(a, b) {
    if (a.isEqualNode(b)) { return; }
    if (a.nodeType !== 1) { a.nodeValue = b.nodeValue; touch(a); return; }
    if (a !== document.body) { attributes(a, b); }
    let old = children(a), fresh = children(b);
    while (old.length && fresh.length && same(old[0], fresh[0])) { morph(old.shift(), fresh.shift()); }
    let end = null;
    while (old.length && fresh.length && same(old[old.length - 1], fresh[fresh.length - 1])) { end = old.pop(); morph(end, fresh.pop()); }
    const partner = pair(old, fresh), kept = new Set(partner);
    old.forEach((n) => { if (!kept.has(n)) { touch(a); n.remove(); } });
    old = old.filter((n) => kept.has(n));
    fresh.forEach((n, i) => {
      const next = old[0] || end, twin = partner[i];
      if (!twin) {
        const made = document.importNode(n, true);
        a.insertBefore(made, next);
        touch(made);
        return;
      }
      if (twin === next) { old.shift(); } else { a.insertBefore(twin, next); old.splice(old.indexOf(twin), 1); }
      morph(twin, n);
    });
  }

  // What the reader looks at stays where it is on the screen.
  function anchor() {
    const top = document.getElementById("desk-errors").offsetHeight, list = [];
    for (const e of document.querySelectorAll(".prose > *, main h2, main tr, main li:not(.contents li), .piece, .plate")) {
      const r = e.getBoundingClientRect();
      if (r.bottom > top && r.height > 0) { list.push({ e: e, y: r.top }); }
      if (list.length > 5) { break; }
    }
    return list;
  }
  function keep(change) {
    const held = scrollY > 0 ? anchor() : [], had = document.activeElement, key = had && had !== document.body ? keyOf(had) : sought;
    document.body.style.minHeight = scrollY + innerHeight + "px"; // a page that is short for a moment keeps its place
    change();
    opened.forEach((k) => { const d = find(k); if (d && d.nodeName === "DETAILS") { d.open = true; } });
    const a = held.find((x) => x.e.isConnected);
    if (a) { scrollBy(0, a.e.getBoundingClientRect().top - a.y); }
    sought = "";
    if (document.activeElement === document.body && key) {
      const again = had && had !== document.body && had.isConnected ? had : find(key);
      if (again && again.focus) { again.focus({ preventScroll: true }); } else { sought = key; }
    }
  }
  function patch(html) {
    const doc = new DOMParser().parseFromString(html, "text/html");
    document.dispatchEvent(new CustomEvent("fresh", { detail: doc }));
    document.querySelectorAll(".fresh").forEach((e) => e.classList.remove("fresh"));
    changed.clear();
    document.title = doc.title;
    keep(() => morph(document.body, doc.body));
    document.dispatchEvent(new CustomEvent("patched"));
    const list = Array.from(changed).filter((e) => e.isConnected && !e.closest(".desk"));
    list.forEach((e) => e.classList.add("fresh"));
    clearTimeout(patch.timer);
    patch.timer = setTimeout(() => list.forEach((e) => e.classList.remove("fresh")), 2000);
    return list.length;
  }
  function strip(html) {
    const doc = new DOMParser().parseFromString(html, "text/html"), band = document.getElementById("desk-errors"), high = band.offsetHeight;
    ["desk-errors", "desk"].forEach((id) => {
      const fresh = doc.getElementById(id), old = document.getElementById(id);
      const fold = fresh && fresh.querySelector("#desk-fold");
      if (fold) { fold.setAttribute("aria-expanded", String(!root.classList.contains("desk-folded"))); }
      if (fresh && old) { morph(old, fresh); }
    });
    if (scrollY > 0 && band.offsetHeight !== high) { // the band takes room above what is read
      document.body.style.minHeight = scrollY + innerHeight + Math.max(0, band.offsetHeight - high) + "px";
      scrollBy(0, band.offsetHeight - high);
    }
  }
  function tell(words) {
    const told = document.getElementById("desk-told");
    if (told && told.textContent !== words) { told.textContent = words; }
  }

  // The stream. A lost desk is said and sought again; what was missed comes with the next connection.
  function lost(is) { root.classList.toggle("desk-lost", is); }
  function close() {
    clearTimeout(timer);
    if (source) { source.close(); source = null; }
  }
  function open() {
    if (source || full || document.visibilityState === "hidden") { return; }
    clearTimeout(timer);
    source = new EventSource("/.desk/stream?" + new URLSearchParams({ page: me.page, mark: me.mark, strip: me.strip }));
    source.onopen = function () {
      if (root.classList.contains("desk-lost")) { lost(false); tell("The desk is back."); }
      wait = 0;
    };
    source.onerror = function () {
      close();
      lost(true);
      tell("The desk is lost. This page shows what it last said, and looks for it.");
      wait = Math.min(wait * 1.6 + 250, 4000);
      timer = setTimeout(open, wait);
    };
    source.addEventListener("page", function (e) {
      const news = JSON.parse(e.data);
      me.mark = news.mark;
      root.classList.toggle("desk-gone", !!news.gone);
      if (news.gone) { tell("This page is no longer in the journal."); return; }
      const n = patch(news.html);
      tell(n === 0 ? "Up to date." : n === 1 ? "1 place changed." : n + " places changed.");
    });
    source.addEventListener("strip", function (e) {
      const news = JSON.parse(e.data);
      me.strip = news.mark;
      strip(news.html);
      if (!root.classList.contains("desk-gone")) { tell(news.words + "."); }
    });
    source.addEventListener("full", function () {
      close();
      full = true;
      lost(true);
      tell("Too many pages are open at this desk. This one follows again when you touch it.");
    });
  }
  function again() { full = false; open(); }

  // Folding: open beside the page, a bar at its foot on a small screen.
  function fold(folded) {
    root.classList.toggle("desk-folded", folded);
    document.getElementById("desk-fold").setAttribute("aria-expanded", String(!folded));
  }
  const wide = matchMedia("(min-width: 62rem)");
  root.classList.add("at-desk");
  fold(!wide.matches);
  wide.addEventListener("change", () => fold(!wide.matches));
  document.addEventListener("click", function (e) {
    if (e.target.closest("#desk-fold")) { fold(!root.classList.contains("desk-folded")); }
    else if (e.target.closest("#desk a") && !wide.matches) { fold(true); }
  });
  document.addEventListener("toggle", function (e) {
    const k = e.target.nodeName === "DETAILS" ? keyOf(e.target) : "";
    if (k && e.target.isConnected) { if (e.target.open) { opened.add(k); } else { opened.delete(k); } }
  }, true);
  addEventListener("pointerdown", again);
  addEventListener("keydown", again);
  addEventListener("online", again);
  addEventListener("pagehide", close);
  addEventListener("pageshow", again);
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") { close(); } else { again(); } });
  open();
})();
