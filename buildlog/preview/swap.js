/* Puts what changed in a page's words into the page that is open, without loading it again: a tenth of the time, and
   nothing else moves. It holds the page as it was served against the page as it is now, and changes only what no
   script has touched. Where it is not sure it changes nothing and says so; then the page is loaded again. */
var buildlogSwap = (function () {
  "use strict";
  var PLAIN = /^(a|abbr|b|blockquote|br|caption|cite|code|dd|del|div|dl|dt|em|h2|h3|h4|hr|i|ins|kbd|li|mark|ol|p|pre|q|s|samp|small|span|strong|sub|sup|table|tbody|td|tfoot|th|thead|time|tr|ul|svg|g|path|rect|circle|ellipse|line|polyline|polygon|text|tspan|title|desc|defs|use)$/;
  var NEVER = /^(script|style|link|meta|base|template|iframe|video|audio|source|track|input|textarea|select|details|dialog)$/;

  function isPlain(node) {
    if (node.nodeType === 3 || node.nodeType === 8) { return true; }
    if (node.nodeType !== 1 || !PLAIN.test(node.localName) || node.matches("[data-key], [data-filter], [data-keep], [data-systems], [data-month], .enlarge")) { return false; }
    return Array.prototype.every.call(node.childNodes, isPlain);
  }
  function attributes(was, now, live, work) {
    var names = was.getAttributeNames().concat(now.getAttributeNames());
    return names.every(function (name) {
      var before = was.getAttribute(name), after = now.getAttribute(name);
      if (before === after) { return true; }
      if (NEVER.test(live.localName) || /^on/.test(name) || live.getAttribute(name) !== before) { return false; }
      work.push(function () { if (after === null) { live.removeAttribute(name); } else { live.setAttribute(name, after); } });
      return true;
    });
  }
  /* The work to be done below one element, or false; nothing is done before all of it is known to be possible. */
  function children(was, now, live, work) {
    var p = Array.from(was.childNodes), n = Array.from(now.childNodes), l = Array.from(live.childNodes), start = 0, end = 0, at;
    if (l.length !== p.length || NEVER.test(live.localName) && live.localName !== "details") { return false; }
    if (p.length === n.length) {
      return p.every(function (one, index) { return node(one, n[index], l[index], work); });
    }
    while (start < p.length && start < n.length && p[start].isEqualNode(n[start])) { start += 1; }
    while (end < p.length - start && end < n.length - start && p[p.length - 1 - end].isEqualNode(n[n.length - 1 - end])) { end += 1; }
    for (at = start; at < p.length - end; at += 1) {
      if (!isPlain(p[at]) || !l[at].isEqualNode(p[at])) { return false; }
    }
    var come = n.slice(start, n.length - end), go = l.slice(start, l.length - end), before = l[l.length - end] || null;
    if (!come.every(isPlain)) { return false; }
    work.push(function () {
      go.forEach(function (one) { one.remove(); });
      come.forEach(function (one) { live.insertBefore(document.importNode(one, true), before); });
    });
    return true;
  }
  function node(was, now, live, work) {
    if (was.isEqualNode(now)) { return true; }
    if (live.nodeType !== was.nodeType) { return false; }
    if (was.nodeType === now.nodeType && was.nodeName === now.nodeName) {
      if (was.nodeType !== 1) {
        if (live.data !== was.data) { return false; }
        work.push(function () { live.data = now.data; });
        return true;
      }
      if (attributes(was, now, live, work)) { return children(was, now, live, work); }
      return false;
    }
    if (!isPlain(was) || !isPlain(now) || !live.isEqualNode(was)) { return false; }
    work.push(function () { live.replaceWith(document.importNode(now, true)); });
    return true;
  }
  function head(page) {
    return Array.from(page.head.children).filter(function (one) { return !one.matches("title, meta"); })
      .map(function (one) { return one.outerHTML; }).join("\n");
  }

  var was = { body: document.body.cloneNode(true), head: head(document) };
  was.body.lastElementChild.remove(); /* this script, and the state before it */
  was.body.lastElementChild.remove();
  return function (html) {
    var page = new DOMParser().parseFromString(html, "text/html"), work = [];
    var held = Array.from(document.body.childNodes);
    if (was.head !== head(page) || was.body.className !== page.body.className) { return false; }
    /* What was added after the page was served stands at its end: our panel, the theme's dialog. */
    var p = Array.from(was.body.childNodes), n = Array.from(page.body.childNodes);
    while (p.length && p[p.length - 1].nodeType === 3) { p.pop(); }
    while (n.length && n[n.length - 1].nodeType === 3) { n.pop(); }
    if (p.length !== n.length || held.length < p.length) { return false; }
    if (!p.every(function (one, index) { return node(one, n[index], held[index], work); })) { return false; }
    work.forEach(function (one) { one(); });
    document.title = page.title;
    was.body = page.body;
    return true;
  };
})();
