"use strict";
(function () {
  const boxes = Array.from(document.querySelectorAll("input[data-unit]"));
  const others = Array.from(document.querySelectorAll(".complaint select, .complaint input"));
  const number = /^[+-]?(\d+\.?\d*|\.\d+)$/;

  // A reading in the box's unit; Infinity for an open meter, NaN for no figure.
  function figure(box) {
    const text = box.value.trim();
    const word = text.toLowerCase();
    if (box.hasAttribute("data-open") && (word === "open" || word === "ol" || word === "inf")) return Infinity;
    return number.test(text) ? Number(text) : NaN;
  }

  function verdict(box) {
    const text = box.value.trim();
    if (text === "") return ["", ""];
    const value = figure(box);
    const unit = box.dataset.unit;
    if (Number.isNaN(value)) {
      if (text.includes(",")) return ["warn", "write " + text.replace(",", ".") + ", with a point"];
      return ["warn", "a figure in " + unit + " alone" + (box.hasAttribute("data-open") ? ", or open" : "")];
    }
    const low = box.dataset.low, high = box.dataset.high;
    if (value < 0 && !(low !== undefined && Number(low) < 0)) return ["warn", "below zero: the leads or the clamp are the wrong way round"];
    if (low !== undefined && value < Number(low)) return ["bad", "!! below " + low + " " + unit];
    if (high !== undefined && value > Number(high) && value !== Infinity && box.hasAttribute("data-unproven")) return ["note", "above " + high + " " + unit + ": proves nothing"];
    if (high !== undefined && value > Number(high)) return ["bad", "!! above " + high + " " + unit];
    return ["ok", "\u2713 within"];
  }

  function judge(box) {
    const [tone, words] = verdict(box);
    const out = box.closest(".reading").querySelector("output");
    out.className = tone;
    out.textContent = words;
    box.setAttribute("aria-invalid", tone === "bad" || tone === "warn" ? "true" : "false");
  }

  const quoted = (text) => '"' + text.replace(/[\\"]/g, "\\$&") + '"';

  function entry(box) {
    const value = figure(box);
    if (!box.dataset.quantity || Number.isNaN(value)) return "";
    const lines = ["[[reading]]"];
    if (box.dataset.at) lines.push("at = " + quoted(box.dataset.at));
    if (box.dataset.to) lines.push("to = " + quoted(box.dataset.to));
    lines.push("quantity = " + quoted(box.dataset.quantity));
    lines.push("value = " + quoted(value === Infinity ? "open" : box.value.trim() + " " + box.dataset.unit));
    if (box.dataset.state) lines.push("state = " + quoted(box.dataset.state));
    return lines.join("\n") + "\n";
  }

  function log(sheet) {
    const own = boxes.filter((box) => sheet.contains(box));
    const entries = own.map(entry).filter((text) => text !== "");
    let head = "";
    if (sheet.dataset.reader === "trace") {
      const [what, which] = sheet.querySelectorAll(".complaint select, .complaint input");
      head = "format = 1\ncomplaint = " + quoted(what.value) + "\n";
      const name = which.value.trim();
      if (name !== "") head += (what.value === "fuse-opens" ? "fuse = " : "load = ") + quoted(name) + "\n";
      head += "\n";
    }
    const place = sheet.querySelector(".log");
    place.hidden = entries.length === 0;
    place.querySelector("textarea").value = head + entries.join("\n");
  }

  // Entries live in the address: they survive a reload and can be passed on.
  function keep() {
    const kept = new URLSearchParams();
    for (const box of boxes.concat(others)) if (box.value !== "" && !(box.tagName === "SELECT" && box.selectedIndex === 0)) kept.set(box.id, box.value);
    const text = kept.toString();
    history.replaceState(null, "", text === "" ? "#" : "#" + text);
  }

  function restore() {
    if (!location.hash.includes("=")) return;
    const kept = new URLSearchParams(location.hash.slice(1));
    for (const box of boxes.concat(others)) if (kept.has(box.id)) box.value = kept.get(box.id);
  }

  function open() {
    const name = location.hash.slice(1);
    const target = name === "" || name.includes("=") ? null : document.getElementById(name);
    const sheet = target && target.closest("details");
    if (sheet) sheet.open = true;
  }

  function all() {
    boxes.forEach(judge);
    document.querySelectorAll(".sheet").forEach(function (sheet) {
      log(sheet);
      if (boxes.some((box) => sheet.contains(box) && box.value !== "")) sheet.open = true;
    });
  }

  restore();
  all();
  open();
  for (const box of boxes.concat(others)) box.addEventListener("input", function () {
    if (boxes.includes(box)) judge(box);
    log(box.closest(".sheet"));
    keep();
  });
  // Where every form is wanted on paper each is open, also where the style sheet alone cannot unfold it.
  let folded = [];
  window.addEventListener("beforeprint", function () {
    const all = document.getElementById("print-all");
    folded = all && all.checked ? Array.from(document.querySelectorAll("details.sheet:not([open])")) : [];
    folded.forEach(function (sheet) { sheet.open = true; });
  });
  window.addEventListener("afterprint", function () {
    folded.forEach(function (sheet) { sheet.open = false; });
  });
  window.addEventListener("hashchange", function () { restore(); all(); open(); });
  document.querySelectorAll("button.keep").forEach(function (button) {
    button.addEventListener("click", function () {
      const text = button.closest(".log").querySelector("textarea").value;
      const link = document.createElement("a");
      link.href = "data:text/plain;charset=utf-8," + encodeURIComponent(text);
      link.download = "readings.toml";
      link.click();
    });
  });
})();
