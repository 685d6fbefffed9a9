/* Says how far off each due day is, counted on the reader's own day. Without scripts the dates stand as they are. */
(function () {
  "use strict";
  var DAY = 86400000;

  function days(from, to) {
    return Math.round((Date.UTC(to.getFullYear(), to.getMonth(), to.getDate()) - Date.UTC(from.getFullYear(), from.getMonth(), from.getDate())) / DAY);
  }

  function words(left) {
    if (left === 0) return "today";
    if (left === 1) return "tomorrow";
    if (left === -1) return "1 day overdue";
    if (left < 0) return -left + " days overdue";
    if (left < 90) return "in " + left + " days";
    if (left < 730) return "in " + Math.round(left / 30.44) + " months";
    return "in " + Math.round(left / 365.25) + " years";
  }

  function complete() {
    var today = new Date(), passed = false;
    document.querySelectorAll("time.due:not([data-left])").forEach(function (time) {
      var part = time.dateTime.split("-");
      var left = days(today, new Date(+part[0], part[1] - 1, +part[2]));
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

  addEventListener("beforeprint", unfold);
  addEventListener("afterprint", fold);
  complete();
})();
