// What a page can do with a script and does without: the lamp, workings on touch, search.
(function () {
  "use strict";
  var root = document.documentElement, key = "bevelbook-lamp";

  // The lamp is set before the page is drawn, so that it never flashes.
  function stored() { try { return localStorage.getItem(key); } catch (e) { return null; } }
  function store(v) { try { localStorage.setItem(key, v); } catch (e) { /* private mode: lasts for the page */ } }
  function system() { return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light"; }
  root.dataset.theme = stored() || system();
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", function () {
    if (!stored()) { root.dataset.theme = system(); lamp(); }
  });
  function lamp() {
    var b = document.querySelector(".toggle");
    if (!b) { return; }
    b.hidden = false;
    b.textContent = root.dataset.theme === "dark" ? "Light page" : "Dark page";
  }
  function turn() {
    root.dataset.theme = root.dataset.theme === "dark" ? "light" : "dark";
    store(root.dataset.theme);
    lamp();
  }

  // A value in the prose shows its working to touch and keyboard as it does to a mouse.
  function workings() {
    var bubble = null;
    function hide() { if (bubble) { bubble.owner.removeAttribute("aria-describedby"); bubble.remove(); bubble = null; } }
    function show(v) {
      hide();
      bubble = document.createElement("div");
      bubble.className = "bubble";
      bubble.id = "working";
      bubble.setAttribute("role", "tooltip");
      bubble.textContent = v.dataset.how;
      bubble.owner = v;
      document.body.appendChild(bubble);
      var at = v.getBoundingClientRect(), room = root.clientWidth - bubble.offsetWidth - 8;
      bubble.style.left = Math.max(8, Math.min(at.left, room)) + scrollX + "px";
      bubble.style.top = at.bottom + 6 + scrollY + "px";
      v.setAttribute("aria-describedby", "working");
    }
    function prepare(tree) {
      tree.querySelectorAll(".val[title]").forEach(function (v) {
        v.dataset.how = v.title;
        v.removeAttribute("title");
        v.tabIndex = 0;
      });
    }
    function value(e) { return e.target.closest && e.target.closest(".val[data-how]"); }
    function over(e) {
      var v = value(e);
      if (v && !(bubble && bubble.owner === v)) { show(v); }
    }
    prepare(document);
    document.addEventListener("mouseover", over);
    document.addEventListener("focusin", over);
    document.addEventListener("focusout", function (e) { if (value(e)) { hide(); } });
    document.addEventListener("mouseout", function (e) {
      var v = value(e);
      if (v && bubble && e.relatedTarget !== bubble && document.activeElement !== v) { hide(); }
    });
    // A page that is brought up to date where it stands: what is new gets ready, what is shown stays true.
    document.addEventListener("fresh", function (e) { prepare(e.detail); });
    document.addEventListener("patched", function () {
      if (!bubble) { return; }
      if (bubble.owner.isConnected && bubble.owner.dataset.how) { show(bubble.owner); } else { hide(); }
    });
    document.addEventListener("keydown", function (e) { if (e.key === "Escape") { hide(); } });
    document.addEventListener("pointerdown", function (e) {
      if (bubble && e.target !== bubble && e.target !== bubble.owner) { hide(); }
    });
  }

  // Search: the index is a script that sets bookIndex, because a page opened from a folder may not fetch.
  function search() {
    var input = document.getElementById("q"), list = document.querySelector(".found"), told = document.querySelector(".told");
    if (!input || !list) { return; }
    var home = document.querySelector(".journal").getAttribute("href").replace(/index\.html$/, "");
    var rows = null, most = 60;
    function index() {
      if (!rows) {
        rows = (window.bookIndex || []).map(function (r) {
          return { r: r, title: r.t.toLowerCase(), all: (r.t + " " + (r.d || "") + " " + r.s).toLowerCase() };
        });
      }
      return rows;
    }
    function marked(parent, text, words) {
      var low = text.toLowerCase(), at = 0;
      while (at < text.length) {
        var next = -1, len = 0;
        words.forEach(function (w) {
          var i = low.indexOf(w, at);
          if (i >= 0 && (next < 0 || i < next)) { next = i; len = w.length; }
        });
        if (next < 0) { break; }
        parent.append(text.slice(at, next));
        var m = document.createElement("mark");
        m.textContent = text.slice(next, next + len);
        parent.append(m);
        at = next + len;
      }
      parent.append(text.slice(at));
    }
    function excerpt(text, words) {
      var i = -1, low = text.toLowerCase();
      words.forEach(function (w) { var j = low.indexOf(w); if (j >= 0 && (i < 0 || j < i)) { i = j; } });
      var from = i > 70 ? text.indexOf(" ", i - 70) + 1 : 0;
      var to = from + 190 < text.length ? text.lastIndexOf(" ", from + 190) : text.length;
      if (to <= from) { to = from + 190; }
      return (from > 0 ? "… " : "") + text.slice(from, to) + (to < text.length ? " …" : "");
    }
    function line(row, words) {
      var li = document.createElement("li"), a = document.createElement("a"), small = document.createElement("small"), p = document.createElement("p");
      a.href = home + row.r.u;
      marked(a, row.r.t, words);
      small.textContent = " " + row.r.k + (row.r.d ? " · " + row.r.d : "");
      marked(p, excerpt(row.r.s, words), words);
      li.append(a, small, p);
      return li;
    }
    function run() {
      var words = input.value.toLowerCase().split(/\s+/).filter(Boolean);
      list.textContent = "";
      if (!words.length) { told.textContent = "Every word must occur. Titles come first."; return; }
      var hits = index().filter(function (x) { return words.every(function (w) { return x.all.indexOf(w) >= 0; }); });
      function rank(x) { return words.filter(function (w) { return x.title.indexOf(w) >= 0; }).length; }
      hits.sort(function (a, b) { return rank(b) - rank(a); });
      told.textContent = !window.bookIndex ? "The search index did not load." : hits.length === 0 ? "Nothing found. Try fewer or shorter words." :
        hits.length === 1 ? "1 place" : hits.length + " places" + (hits.length > most ? ", the first " + most + " are shown" : "");
      hits.slice(0, most).forEach(function (x) { list.append(line(x, words)); });
    }
    input.form.addEventListener("submit", function (e) {
      e.preventDefault();
      try { history.replaceState(null, "", "?q=" + encodeURIComponent(input.value)); } catch (err) { /* from a folder */ }
      run();
    });
    input.addEventListener("input", run);
    input.value = new URLSearchParams(location.search).get("q") || "";
    run();
    input.focus();
  }

  document.addEventListener("DOMContentLoaded", function () {
    lamp();
    var b = document.querySelector(".toggle");
    if (b) { b.addEventListener("click", turn); }
    workings();
    search();
  });
})();
