/* Comforts of the office pages. Without scripts every list is whole, and the filters by verdict work as well. */
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

  function since() {
    var box = document.querySelector(".since");
    if (!box) return;
    var input = box.querySelector("input"), found = box.querySelector("[role=status]");
    var commits = Array.from(document.querySelectorAll(".commit"));
    var months = Array.from(document.querySelectorAll(".month-log"));
    box.hidden = false;
    input.addEventListener("input", function () {
      var shown = 0;
      commits.forEach(function (commit) {
        commit.hidden = commit.dataset.day < input.value;
        shown += !commit.hidden;
      });
      months.forEach(function (month) {
        month.hidden = !month.querySelector(".commit:not([hidden])");
      });
      found.textContent = input.value ? shown + " of " + commits.length + " commits" : "";
    });
  }

  addEventListener("hashchange", mark);
  sift();
  since();
  mark();
})();
