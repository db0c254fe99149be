// What the tests ask of a page that stands in a browser: functions on one object, put there by page_test.py.
window.looks = (function () {
  "use strict";
  const visible = (element) => element.checkVisibility({ checkOpacity: false, checkVisibilityCSS: true }) && element.getClientRects().length > 0;
  const name = (element) => element.tagName.toLowerCase() + (element.id ? "#" + element.id : "") + (element.className && element.className.baseVal === undefined ? "." + element.className : "") +
    " “" + (element.getAttribute("aria-label") || element.textContent || element.name || "").trim().slice(0, 40) + "”";

  // Opens all details of a page, but of each kind that repeats only so many.
  function openSome(most) {
    for (const part of document.querySelectorAll("details")) {
      const kind = ["finding", "storm", "gauge"].find((name) => part.classList.contains(name));
      part.open = !kind || Array.from(document.querySelectorAll("details." + kind)).indexOf(part) < most;
    }
  }

  // Elements that the tab key should reach, in the order of the document; one stop for each group of radios.
  function stops() {
    const all = Array.from(document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]'));
    const groups = new Set();
    return all.filter((element) => {
      if (element.tabIndex < 0 || element.disabled || !visible(element)) return false;
      if (element.type !== "radio") return true;
      const group = Array.from(element.form.querySelectorAll('input[type="radio"][name="' + element.name + '"]'));
      const stop = group.find((radio) => radio.checked) || group[0];
      return stop === element && !groups.has(stop) && groups.add(stop);
    });
  }

  // Relative luminance and contrast: WCAG 2.1, "relative luminance" and "contrast ratio", https://www.w3.org/TR/WCAG21/
  function luminance([red, green, blue]) {
    const linear = (channel) => { const c = channel / 255; return c <= 0.03928 ? c / 12.92 : Math.pow((c + 0.055) / 1.055, 2.4); };
    return 0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue);
  }
  function contrast(one, other) {
    const [dark, light] = [luminance(one), luminance(other)].sort((a, b) => a - b);
    return (light + 0.05) / (dark + 0.05);
  }
  const rgba = (text) => { const numbers = text.match(/[\d.]+/g).map(Number); return numbers.length === 3 ? [...numbers, 1] : numbers; };
  const over = (top, ground) => [0, 1, 2].map((c) => top[c] * top[3] + ground[c] * (1 - top[3]));
  function ground(element) {
    const layers = [];
    for (let at = element; at; at = at.parentElement) {
      const colour = rgba(getComputedStyle(at).backgroundColor);
      layers.push(colour);
      if (colour[3] === 1) break;
    }
    return layers.reverse().reduce((below, layer) => over(layer, below), [255, 255, 255]);
  }

  // Every text that is seen: those below `least`, as sentences; and how many were measured.
  function faintTexts(least) {
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const faint = [];
    let count = 0;
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const element = node.parentElement;
      if (!node.data.trim() || !visible(element) || element.closest("script, style, noscript")) continue;
      const below = ground(element), ratio = contrast(over(rgba(getComputedStyle(element).color), below), below);
      count += 1;
      if (ratio < least) faint.push(name(element) + " has " + ratio.toFixed(2));
    }
    return { count, faint };
  }

  // Lines and edges of the page's own colours against the grounds they stand on.
  function faintShapes(least) {
    const value = (variable) => {
      const probe = document.createElement("span");
      probe.style.color = "var(--" + variable + ")";
      document.body.append(probe);
      const colour = rgba(getComputedStyle(probe).color);
      probe.remove();
      return colour;
    };
    const faint = [];
    for (const shape of ["ink", "edge", "accent", "own", "expected", "others", "called"])
      for (const under of ["paper", "wash"]) {
        const ratio = contrast(value(shape), value(under));
        if (ratio < least) faint.push(shape + " on " + under + " has " + ratio.toFixed(2));
      }
    return faint;
  }

  // Controls smaller than `least` pixels either way; a link within a line of text is as high as its line.
  function smallTargets(least) {
    return Array.from(document.querySelectorAll("a[href], button, input, select, summary, [role=button]")).filter((element) => {
      if (!visible(element) || element.closest(".skip")) return false;
      const inText = element.tagName === "A" && getComputedStyle(element).display === "inline" && element.parentElement.textContent.trim() !== element.textContent.trim();
      const box = element.getBoundingClientRect();
      return !inText && (box.width < least - 0.01 || box.height < least - 0.01);
    }).map((element) => name(element) + " " + element.getBoundingClientRect().width.toFixed(1) + " x " + element.getBoundingClientRect().height.toFixed(1));
  }

  function outline() {
    const levels = Array.from(document.querySelectorAll("h1, h2, h3, h4, h5, h6")).filter(visible);
    const wrong = levels.filter((heading, i) => i > 0 && Number(heading.tagName[1]) > Number(levels[i - 1].tagName[1]) + 1).map(name);
    return { first: levels.filter((heading) => heading.tagName === "H1").length, wrong };
  }

  // What breaks a plain rule of markup, as sentences.
  function markup() {
    const wrong = [];
    const say = (element, what) => wrong.push(name(element) + " " + what);
    const ids = new Set();
    document.querySelectorAll("[id]").forEach((element) => ids.has(element.id) ? say(element, "has an id used twice") : ids.add(element.id));
    document.querySelectorAll("[for], [aria-labelledby], [aria-describedby]").forEach((element) => {
      for (const attribute of ["for", "aria-labelledby", "aria-describedby"])
        for (const id of (element.getAttribute(attribute) || "").split(" ").filter(Boolean)) if (!ids.has(id)) say(element, "names an id that is not there");
    });
    document.querySelectorAll("table").forEach((table) => {
      if (!table.caption) say(table, "has no caption");
      if (!table.querySelector("thead th") || table.querySelector("thead td:not(:empty)")) say(table, "has no header cells");
      table.querySelectorAll("th").forEach((cell) => { if (!["col", "row"].includes(cell.scope)) say(cell, "has no scope"); });
    });
    document.querySelectorAll("canvas").forEach((canvas) => { if (!canvas.closest('[role="img"][aria-label]')) say(canvas, "has no text alternative"); });
    document.querySelectorAll("img").forEach((image) => { if (!image.hasAttribute("alt")) say(image, "has no alt"); });
    document.querySelectorAll('a[href^="#"]').forEach((link) => {
      const id = decodeURIComponent(link.getAttribute("href").slice(1));
      if (!link.closest(".leaflet-popup") && !ids.has(id)) say(link, "leads nowhere");
    });
    for (const [selector, count] of [["main", 1], ["body > header", 1], ["nav", 1], ["body > footer", 1]])
      if (document.querySelectorAll(selector).length !== count) wrong.push("there must be " + count + " " + selector);
    return wrong;
  }

  // Whether anything but one colour is on a canvas.
  function painted(canvas) {
    const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
    for (let i = 3; i < data.length; i += 4) if (data[i] !== 0) return true;
    return false;
  }

  // What sticks out of the page to the right, though no box of its own scrolls it.
  function sticksOut() {
    const width = document.documentElement.clientWidth;
    return Array.from(document.querySelectorAll("body *")).filter((element) => visible(element) && !element.closest(".wide, .sheet, .skip, svg") &&
      element.getBoundingClientRect().right > width + 1).map(name);
  }

  return { visible, name, openSome, stops, contrast, faintTexts, faintShapes, smallTargets, outline, markup, painted, sticksOut };
})();
