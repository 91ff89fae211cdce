/* The lamp, the photos and the log's filter. Every page works without this file, and from a disk as from the web. */
(function () {
  "use strict";
  var root = document.documentElement;

  /* The lamp: light or dark paper, kept for the next page. */
  var lamp = document.getElementById("lamp");
  var asked = matchMedia("(prefers-color-scheme: dark)");
  function isDark() { return root.dataset.theme ? root.dataset.theme === "dark" : asked.matches; }
  function showLamp() { lamp.setAttribute("aria-pressed", String(isDark())); lamp.title = isDark() ? "Turn the page light" : "Turn the page dark"; }
  if (lamp) {
    lamp.addEventListener("click", function () {
      root.dataset.theme = isDark() ? "light" : "dark";
      try { localStorage.setItem("theme", root.dataset.theme); } catch (error) { /* a private window keeps nothing */ }
      showLamp();
    });
    if (asked.addEventListener) { asked.addEventListener("change", showLamp); }
    showLamp();
  }

  /* Photos: laid on the bench one after the other, by keys, buttons or a swipe. */
  var links = Array.prototype.slice.call(document.querySelectorAll("a.enlarge"));
  var bench, image, words, count, at = 0, from = null;
  function make(name, kind, text) {
    var element = document.createElement(name);
    if (kind) { element.className = kind; }
    if (text) { element.textContent = text; }
    return element;
  }
  function button(text, act) {
    var key = make("button", "key", text);
    key.type = "button";
    key.addEventListener("click", act);
    return key;
  }
  function layOut() {
    bench = make("dialog", "bench");
    bench.setAttribute("aria-label", "Photo, large");
    var turns = make("p", "turns"), frame = make("div", "frame");
    count = make("span");
    count.setAttribute("aria-live", "polite");
    words = make("figcaption");
    image = make("img");
    if (links.length > 1) {
      turns.append(button("Before", function () { show(at - 1); }), button("Next", function () { show(at + 1); }));
    }
    turns.append(count, button("Close", function () { bench.close(); }));
    frame.append(image);
    bench.append(turns, frame, words);
    bench.addEventListener("keydown", function (event) {
      if (event.altKey || event.ctrlKey || event.metaKey) { return; }
      if (event.key === "ArrowLeft") { show(at - 1); } else if (event.key === "ArrowRight") { show(at + 1); }
      else if (event.key === "Home") { show(0); } else if (event.key === "End") { show(links.length - 1); }
    });
    frame.addEventListener("click", function (event) { if (event.target === frame) { bench.close(); } });
    frame.addEventListener("pointerdown", function (event) { from = event.isPrimary ? event.clientX : null; });
    frame.addEventListener("pointerup", function (event) {
      var moved = from === null ? 0 : event.clientX - from;
      from = null;
      if (Math.abs(moved) > 48 && (!window.visualViewport || visualViewport.scale < 1.05)) { show(at + (moved < 0 ? 1 : -1)); }
    });
    frame.addEventListener("pointercancel", function () { from = null; });
    image.draggable = false;
    bench.addEventListener("close", function () { image.removeAttribute("src"); links[at].focus(); });
    document.body.append(bench);
  }
  function show(index) {
    at = (index + links.length) % links.length;
    var small = links[at].querySelector("img"), held = links[at].parentNode;
    var told = held.querySelector(".words") || held.querySelector("figcaption, span");
    image.width = small.getAttribute("width");
    image.height = small.getAttribute("height");
    image.alt = small.alt;
    image.src = links[at].href;
    words.textContent = told ? told.textContent : small.alt;
    count.textContent = links.length > 1 ? at + 1 + " of " + links.length : "";
    if (links.length > 1) { new Image().src = links[(at + 1) % links.length].href; }
  }
  if (links.length && window.HTMLDialogElement) {
    links.forEach(function (link, index) {
      link.addEventListener("click", function (event) {
        if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey || event.button) { return; }
        event.preventDefault();
        if (!bench) { layOut(); }
        show(index);
        bench.showModal();
      });
    });
  }

  /* The log's filter: one system, kept in the address; without this the tabs lead to the systems' sheets. */
  var filter = document.querySelector("[data-filter]");
  function chosen() {
    var found = /^#system=(.+)$/.exec(location.hash);
    try { return found ? decodeURIComponent(found[1]) : ""; } catch (error) { return ""; }
  }
  function sift() {
    var key = chosen(), shown = 0;
    document.querySelectorAll("[data-systems]").forEach(function (row) {
      row.hidden = Boolean(key) && row.getAttribute("data-systems").split(" ").indexOf(key) < 0;
      shown += row.hidden ? 0 : 1;
    });
    document.querySelectorAll("[data-month]").forEach(function (month) {
      month.hidden = !month.querySelector("[data-systems]:not([hidden])");
    });
    filter.querySelectorAll("[data-key]").forEach(function (tab) {
      if (tab.getAttribute("data-key") === key) { tab.setAttribute("aria-current", "true"); } else { tab.removeAttribute("aria-current"); }
    });
    document.querySelectorAll("a[data-keep]").forEach(function (link) { link.hash = key ? "system=" + encodeURIComponent(key) : ""; });
    var says = document.getElementById("sifted"), tab = key && filter.querySelector('[data-key="' + CSS.escape(key) + '"]');
    if (says) {
      says.hidden = !key;
      says.querySelector("span").textContent = key ? shown + (shown === 1 ? " entry" : " entries") + " here" : "";
      var sheet = says.querySelector("a");
      sheet.hidden = !tab;
      if (tab) { sheet.href = tab.getAttribute("href"); sheet.textContent = "the sheet of " + tab.querySelector("i").textContent; }
    }
  }
  if (filter) {
    filter.querySelectorAll("[data-key]").forEach(function (tab) {
      tab.addEventListener("click", function (event) {
        if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey || event.button) { return; }
        event.preventDefault();
        var key = tab.getAttribute("data-key");
        location.hash = key && key !== chosen() ? "system=" + encodeURIComponent(key) : "all";
      });
    });
    var all = filter.querySelector("[hidden]");
    if (all) { all.hidden = false; }
    addEventListener("hashchange", sift);
    sift();
  }

  /* A closed <details> is opened for the link that leads into it, and all of them for the printer. */
  function unfold() {
    var name = location.hash.slice(1), target = null;
    try { target = name && document.getElementById(decodeURIComponent(name)); } catch (error) { /* no address of ours */ }
    var held = target && target.closest("details:not([open])");
    if (held) { held.open = true; target.scrollIntoView(); }
  }
  addEventListener("hashchange", unfold);
  unfold();
  addEventListener("beforeprint", function () { document.querySelectorAll("details").forEach(function (one) { one.open = true; }); });
})();
