/* Two comforts of the office pages. Without scripts the list of homes is whole, and the filter of findings works as well. */
(function () {
  "use strict";

  function sift() {
    var box = document.querySelector(".sift");
    if (!box) return;
    var input = box.querySelector("input"), found = box.querySelector("[role=status]");
    var homes = Array.from(document.querySelectorAll(".homes > .home"));
    box.hidden = false;
    input.addEventListener("input", function () {
      var words = input.value.toLowerCase().split(/\s+/).filter(Boolean), shown = 0;
      homes.forEach(function (home) {
        var has = words.every(function (word) { return home.dataset.sought.includes(word); });
        home.hidden = !has;
        shown += has;
      });
      found.textContent = words.length ? shown + " of " + homes.length : "";
    });
  }

  function mark() {
    var links = document.querySelectorAll(".only a");
    links.forEach(function (link) {
      var here = link.hash === location.hash || (link.hash === "#all" && !/^#only-/.test(location.hash));
      if (here) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    });
  }

  addEventListener("hashchange", mark);
  sift();
  mark();
})();
