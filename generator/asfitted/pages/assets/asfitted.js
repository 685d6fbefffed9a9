/* Says how far off each due day is and how old a device, counted on the reader's own day. Without scripts both stand as
   they were on the day the pages were written. */
(function () {
  "use strict";
  var DAY = 86400000;

  function days(from, to) {
    return Math.round((Date.UTC(to.getFullYear(), to.getMonth(), to.getDate()) - Date.UTC(from.getFullYear(), from.getMonth(), from.getDate())) / DAY);
  }

  function day(written) {
    var part = written.split("-");
    return new Date(+part[0], part[1] - 1, +part[2]);
  }

  /* The browser knows how its reader's language counts days; "overdue" alone is a word of ours. */
  var language = document.documentElement.lang || "en";
  var overdue = document.querySelector('meta[name="asfitted:overdue"]');

  function words(left) {
    if (left < 0) {
      var count = new Intl.NumberFormat(language, { style: "unit", unit: "day", unitDisplay: "long" });
      return count.format(-left) + " " + (overdue ? overdue.content : "overdue");
    }
    var to = new Intl.RelativeTimeFormat(language, { numeric: "auto" });
    if (left < 90) return to.format(left, "day");
    if (left < 730) return to.format(Math.round(left / 30.44), "month");
    return to.format(Math.round(left / 365.25), "year");
  }

  function complete() {
    var today = new Date(), passed = false;
    document.querySelectorAll("time.due:not([data-left])").forEach(function (time) {
      var left = days(today, day(time.dateTime));
      var said = document.createElement("span");
      said.className = "due__left" + (left < 0 ? " due__left--passed" : "");
      said.textContent = words(left);
      time.setAttribute("data-left", left);
      time.append(" ", said);
      passed = passed || left < 0;
    });
    document.querySelectorAll(".standing__passed").forEach(function (note) {
      note.hidden = !passed;
      note.parentElement.classList.toggle("standing--passed", passed);
    });
  }

  /* A life goes on after the pages were written: its bar is drawn on the reader's own day. */
  function age() {
    var today = new Date();
    document.querySelectorAll(".life[data-from]").forEach(function (life) {
      var from = day(life.dataset.from), to = day(life.dataset.to);
      var gone = Math.min(1, Math.max(0, days(from, today) / days(from, to)));
      life.style.setProperty("--gone", (100 * gone).toFixed(1) + "%");
      life.querySelector(".life__today").hidden = false;
    });
  }

  /* Whoever comes for one device wants to know how to test it. */
  function open() {
    var head = location.hash.length > 1 && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    var card = head && head.classList.contains("card-head") && head.nextElementSibling;
    var how = card && card.querySelector(".device__how");
    if (how) how.open = true;
  }

  /* Paper cannot be tapped: how to test a device, and every working of a calculation, stand open on it. */
  function unfold() {
    document.querySelectorAll(".card details:not([open]), details.sum:not([open])").forEach(function (part) {
      part.open = true;
      part.setAttribute("data-unfolded", "");
    });
  }

  function fold() {
    document.querySelectorAll("details[data-unfolded]").forEach(function (part) {
      part.open = false;
      part.removeAttribute("data-unfolded");
    });
  }

  /* The theme lets a wide table move sideways in its frame: by the keyboard too. */
  function reach() {
    document.querySelectorAll(".md-typeset__scrollwrap").forEach(function (frame) {
      if (frame.scrollWidth > frame.clientWidth) frame.tabIndex = 0;
      else frame.removeAttribute("tabindex");
    });
  }

  addEventListener("load", reach);
  addEventListener("resize", reach);
  addEventListener("beforeprint", unfold);
  addEventListener("afterprint", fold);
  addEventListener("hashchange", open);
  complete();
  age();
  open();
})();
