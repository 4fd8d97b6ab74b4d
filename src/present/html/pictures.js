// A picture wider than its frame begins at what is marked: beyond a limit
// first, else what is to be looked at.
(function () {
  var isShown = function (e) { return e.getClientRects().length > 0; };
  document.querySelectorAll('.stage .scroll').forEach(function (box) {
    if (box.scrollWidth <= box.clientWidth && box.scrollHeight <= box.clientHeight) return;
    var find = function (q) { return Array.prototype.find.call(box.querySelectorAll(q), isShown); };
    var at = find('.flagbad,text.bad') || find('.flagwarn,text.warn');
    if (!at) return;
    var a = at.getBoundingClientRect(), b = box.getBoundingClientRect();
    box.scrollLeft += a.left + a.width / 2 - b.left - b.width / 2;
    box.scrollTop += a.top + a.height / 2 - b.top - b.height / 2;
  });
})();
