/* Put into each page as it is served, never into a file of the site: tells the problems, and loads the page again when
   something that it shows has changed, at the same place. */
(function () {
  "use strict";
  var told = document.currentScript.previousElementSibling, now = JSON.parse(told.textContent);
  told.remove();
  var KEPT = "buildlog-preview-kept", FOLDED = "buildlog-preview-folded-";
  var host = document.getElementById("buildlog-preview"), stream = null, lost = 0, slow = 0, since = now.number, waiting = Promise.resolve();
  if (!host) {
    host = document.createElement("div");
    host.id = "buildlog-preview";
    document.body.append(host);
  }
  var inside = host.attachShadow({ mode: "open" });
  inside.innerHTML = "<style></style><div></div><p class=unseen></p><p class=chip role=status hidden></p>";
  inside.querySelector("style").textContent = now.style;
  var place = inside.querySelector("div"), says = inside.querySelector(".unseen"), chip = inside.querySelector(".chip");
  if (host.hasAttribute("data-here")) { place.className = "here"; }

  function kept(key, value) {
    try {
      if (value === undefined) { return sessionStorage.getItem(key); }
      if (value === null) { sessionStorage.removeItem(key); } else { sessionStorage.setItem(key, value); }
    } catch (error) { /* a private window keeps nothing */ }
    return null;
  }

  /* The panel. */
  function room() {
    var panel = place.className ? null : place.firstElementChild;
    document.body.style.paddingBottom = panel ? panel.offsetHeight + "px" : "";
  }
  function show(state) {
    if (place.told === state.panel) { return; }
    place.told = state.panel;
    place.innerHTML = state.panel;
    says.setAttribute("role", state.level === "error" ? "alert" : "status");
    says.textContent = state.says;
    var fold = place.querySelector("details");
    if (fold) {
      var before = kept(FOLDED + state.level);
      fold.open = place.className ? true : before ? before === "open" : state.level === "error";
      fold.addEventListener("toggle", function () { kept(FOLDED + state.level, fold.open ? "open" : "shut"); room(); });
      fold.addEventListener("keydown", function (event) {
        if (event.key === "Escape" && fold.open) { fold.open = false; fold.firstElementChild.focus(); }
      });
    }
    room();
  }
  function mention(words) {
    chip.hidden = !words;
    if (chip.textContent !== words) { chip.textContent = words; }
  }
  function busy(state) {
    clearTimeout(slow);
    if (!state.working) { mention(""); return; }
    slow = setTimeout(function () { mention(state.working); }, chip.hidden ? 400 : 0);
  }

  /* What this page shows beside its own words: the theme, its pictures and films, and those they lead to. */
  function isShown(names) {
    var used = {};
    document.querySelectorAll("[src], [srcset], [poster], link[href], a.enlarge").forEach(function (one) {
      (one.getAttribute("srcset") || "").split(",").concat([one.src, one.poster, one.href]).forEach(function (said) {
        var word = said && typeof said === "string" ? said.trim().split(/\s/)[0] : "";
        try {
          var url = word && new URL(word, document.baseURI);
          if (url && url.origin === location.origin) { used[decodeURIComponent(url.pathname.slice(1))] = true; }
        } catch (error) { /* no address */ }
      });
    });
    return names.some(function (name) { return used[name] || name.lastIndexOf("look/", 0) === 0; });
  }

  /* Loading again, and being where one was. */
  function fields() { return document.querySelectorAll("input:not([type=hidden]):not([type=checkbox]):not([type=radio]), textarea"); }
  function load() {
    kept(KEPT, JSON.stringify({
      path: location.pathname, x: scrollX, y: scrollY,
      open: Array.prototype.map.call(document.querySelectorAll("details"), function (one) { return one.open; }),
      typed: Array.prototype.map.call(fields(), function (one) { return one.value; }),
      at: Array.prototype.indexOf.call(fields(), document.activeElement)
    }));
    location.reload();
  }
  function restore() {
    var was = null, moved = false;
    try { was = JSON.parse(kept(KEPT)); } catch (error) { /* not ours */ }
    kept(KEPT, null);
    if (!was || was.path !== location.pathname) { return; }
    function back() { if (!moved) { scrollTo({ left: was.x, top: was.y, behavior: "instant" }); } }
    function unfold() {
      var all = document.querySelectorAll("details");
      if (all.length === was.open.length) { all.forEach(function (one, index) { one.open = was.open[index]; }); }
    }
    function type() {
      var all = fields();
      if (all.length !== was.typed.length) { return; }
      all.forEach(function (one, index) {
        if (one.value !== was.typed[index]) {
          one.value = was.typed[index];
          one.dispatchEvent(new Event("input", { bubbles: true }));
        }
      });
      if (was.at >= 0) { all[was.at].focus({ preventScroll: true }); }
    }
    ["wheel", "touchmove", "keydown", "pointerdown"].forEach(function (kind) {
      addEventListener(kind, function () { moved = true; }, { passive: true, once: true });
    });
    unfold();
    back();
    addEventListener("DOMContentLoaded", function () { unfold(); type(); back(); });
    addEventListener("load", function () {
      back();
      if (document.fonts) { document.fonts.ready.then(back); }
    });
  }

  /* The stream of what happens. A page nobody sees lets go of it: a browser has few connections to one address. */
  function heard(event) {
    var state = JSON.parse(event.data);
    lost = 0;
    if (state.run !== now.run || isShown(state.changed)) { close(); load(); return; }
    if (state.changed.indexOf(now.name) >= 0) { renew(state); return; }
    since = state.number;
    busy(state);
    show(state);
  }
  /* Only the words of this page changed: they are put in, if that can be done, one state after the other. */
  function renew(state) {
    var turn = waiting.then(function () { return fetch("/" + now.name.split("/").map(encodeURIComponent).join("/") + "?plain"); });
    waiting = turn.then(function (answer) {
      if (!answer.ok) { throw new Error("gone"); }
      return answer.text();
    }).then(function (html) {
      if (!now.whole || !buildlogSwap(html)) { throw new Error("not sure"); }
      since = Math.max(since, state.number);
      busy(state);
      show(state);
    }).catch(function () { close(); load(); });
  }
  function close() {
    if (stream) { stream.close(); }
    stream = null;
  }
  function listen() {
    if (document.visibilityState === "hidden") { close(); return; }
    if (stream) { return; }
    stream = new EventSource(now.events + "?run=" + now.run + "&since=" + since + "&page=" + encodeURIComponent(now.name));
    stream.onmessage = heard;
    stream.onopen = function () { lost = 0; mention(""); };
    stream.onerror = function () {
      close();
      lost += 1;
      if (lost > 2) { mention("The preview has ended. Start it again with  buildlog preview"); }
      setTimeout(listen, 700);
    };
  }
  restore();
  show(now);
  busy(now);
  addEventListener("resize", room);
  addEventListener("visibilitychange", listen);
  addEventListener("pageshow", function (event) { if (event.persisted) { close(); listen(); } });
  addEventListener("pagehide", close);
  listen();
})();
