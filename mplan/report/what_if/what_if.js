"use strict";
// The data has every setting that was flown, by the stops of its levers; nothing is worked out
// between them. Where a setting was not flown, the lever moved last is shown alone, and said so.
(() => {
  const root = document.getElementById("what-if");
  const data = JSON.parse(root.querySelector(".wi-data").textContent);
  const find = (name) => root.querySelector(".wi-" + name);
  const levers = [...root.querySelectorAll(".wi-lever")];
  const inputs = levers.map((lever) => lever.querySelector("input"));
  const home = data.levers.map((lever) => lever.home);
  const plan = data.flights[data.home];
  const MARKS = { good: ["closes", "✓"], open: ["decide", "?"], bad: ["stops", "✕"], none: ["stops", "✕"] };
  let last = 0;

  // --- which flight is shown
  const stops = () => inputs.map((input) => Number(input.value));
  const key = (setting) => setting.join(" ");
  const moved = (setting) => setting.map((stop, i) => i).filter((i) => setting[i] !== home[i]);
  const flown = (setting) => key(setting) in data.flights;
  const with_ = (setting, i, stop) => setting.map((other, j) => (i === j ? stop : other));
  const named = (setting) => moved(setting)
    .map((i) => `${data.levers[i].title} ${data.levers[i].stops[setting[i]]}`).join(" with ");

  function shownFor(setting) {
    return flown(setting) ? setting : with_(home, last, setting[last]);
  }

  function nearest(setting) { // of those flown in which as many levers as may be are moved
    const apart = (other) => other.reduce((sum, stop, i) => sum + Math.abs(stop - setting[i]), 0);
    const others = Object.keys(data.flights).map((text) => text.split(" ").map(Number))
      .filter((other) => moved(other).length > 1 && moved(other).includes(last)
        && moved(other).every((i) => setting[i] !== home[i]));
    return others.sort((a, b) => apart(a) - apart(b))[0];
  }

  // --- small makers of elements
  function make(tag, words, name) {
    const made = document.createElement(tag);
    if (words !== undefined) made.textContent = words;
    if (name) made.className = name;
    return made;
  }

  function drawn(tag, attributes, words) {
    const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
    if (words !== undefined) made.textContent = words;
    return made;
  }

  // --- levers
  function tellLevers(setting) {
    levers.forEach((lever, i) => {
      const { stops: told } = data.levers[i];
      const own = setting[i] === home[i];
      const said = told[setting[i]] + (own ? ", as in the plan" : "");
      lever.querySelector("output").textContent = told[setting[i]];
      inputs[i].setAttribute("aria-valuetext",
        flown(setting) ? said : `${said}; this combination was not flown`);
      lever.querySelector("button").disabled = own;
      lever.classList.toggle("wi-moved", !own);
      for (const mark of lever.querySelectorAll("[data-stop]")) {
        const stop = Number(mark.dataset.stop);
        mark.textContent = stop === home[i] ? "▲" : flown(with_(setting, i, stop)) ? "●" : "○";
      }
    });
    find("home").disabled = moved(setting).length === 0;
    root.classList.toggle("wi-at-plan", moved(setting).length === 0);
  }

  function tellFlown(setting, shown) {
    const said = find("said"), button = find("near");
    button.hidden = flown(setting);
    find("head").classList.toggle("wi-unlike", !flown(setting));
    if (flown(setting)) {
      const steered = data.flights[key(shown)].steered;
      said.textContent = moved(setting).length === 0 ? "Shown: the plan of this report."
        : `Shown: ${named(setting)}, flown${steered ? `; the climb is ${steered}` : ""}.`;
      return;
    }
    const alone = moved(shown).length ? `${named(shown)} alone, all else as in the plan` : "the plan of this report";
    said.textContent = `Not flown: ${named(setting)}. Shown: ${alone}.`;
    const near = nearest(setting);
    button.hidden = near === undefined;
    if (near) {
      button.textContent = `Show ${named(near)}, the nearest that was flown`;
      button.onclick = () => set(near);
    }
  }

  // --- verdict and words
  function tellVerdict(flight) {
    const [style, sign] = MARKS[flight.tone], said = make("p");
    said.append(make("strong", flight.closes), make("br"), [flight.verdict, flight.ended].filter(Boolean).join(" "));
    const box = root.querySelector(".verdict"), mark = make("span", sign, "sign");
    mark.setAttribute("aria-hidden", "true");
    box.className = "verdict " + style;
    box.replaceChildren(mark, said);
  }

  function tellFindings(flight) {
    const list = make("ul");
    for (const [what, sign, severity, text] of flight.findings || []) {
      const item = make("li");
      item.append(make("b", `${what}: ${sign} ${severity}`), `: ${text}`);
      list.append(item);
    }
    const none = flight === plan ? "The findings of the plan stand in the report." : "The same as in the plan.";
    if (!list.children.length) list.append(make("li", flight.findings ? none : "Nothing was flown, so nothing is found."));
    find("findings").replaceChildren(list);
  }

  function tellNumbers(flight) {
    const titles = { figure: "figure", date: "date [UTC]", left: "left of" };
    const tables = Object.entries(titles).map(([kind, title]) => {
      const table = make("table"), head = table.createTHead().insertRow(), body = table.createTBody();
      for (const words of [title, "shown", "difference"]) {
        const cell = make("th", words);
        cell.scope = "col";
        head.append(cell);
      }
      for (const name of data.rows.filter((row) => row.startsWith(kind + "|"))) {
        const [value, difference] = (flight.rows || {})[name] || ["-", "not in this flight"];
        const row = body.insertRow();
        row.className = difference ? "wi-differs" : "";
        const about = make("th", name.split("|")[1]);
        about.scope = "row";
        row.append(about, make("td", value), make("td", difference || "same"));
      }
      return table;
    });
    find("numbers").replaceChildren(...tables.filter((table) => table.tBodies[0].rows.length));
  }

  // --- pictures
  const longest = Math.max(1, ...Object.values(data.flights).flatMap((flight) =>
    (flight.burns || []).map((burn) => Math.max(burn.plan || 0, burn.parts.reduce((a, b) => a + b, 0)))));
  const share = (speed) => `${100 * speed / longest}%`;

  function burnRow(burn, number, others) {
    const row = make("div", undefined, "wi-burn"), bar = make("div", undefined, "wi-bar");
    if (burn.plan !== null) {
      const outline = make("u");
      outline.style.width = share(burn.plan);
      bar.append(outline);
    }
    let at = 0;
    burn.parts.forEach((size, part) => {
      const piece = make("i", undefined, "wi-part" + part);
      piece.style.left = share(at);
      piece.style.width = share(size);
      at += size;
      if (size > 0) bar.append(piece);
    });
    const twice = others.some((other, i) => i !== number && other.name === burn.name);
    const words = burn.words + (burn.unlike ? ` (${burn.unlike})` : "");
    row.append(make("p", twice ? `${burn.name}, ${burn.of}` : burn.name), bar, make("p", words, "wi-words"));
    return row;
  }

  function drawBudget(flight) {
    const burns = flight.burns || [];
    const rows = burns.map(burnRow);
    find("budget").replaceChildren(...(rows.length ? rows : [make("p", "No burn was flown.")]));
  }

  const SHADES = {
    "climb and Earth orbit": "--climb", "to the Moon": "--outbound", "lunar orbit": "--lunar-orbit",
    "on the Moon": "--surface", home: "--homeward",
  };
  const end = (flight) => (flight.phases || []).reduce((most, span) => Math.max(most, span[2]), 0);
  const days = Math.max(1, ...Object.values(data.flights).map(end));

  function phaseRow(svg, flight, top, solid) {
    for (const [name, begin, finish] of flight.phases || []) {
      const box = { x: 400 * begin / days, width: Math.max(1, 400 * (finish - begin) / days), y: top, height: 18 };
      svg.append(drawn("rect", {
        ...box, fill: solid ? `var(${SHADES[name] || "--grey"})` : "none",
        stroke: "currentColor", "stroke-width": 1, "stroke-dasharray": solid ? "none" : "3 2",
      }));
      if (!solid || box.width < 6.5 * name.length) continue;
      const at = { x: box.x + box.width / 2, y: top + 13, "font-size": 10, "text-anchor": "middle" };
      svg.append(drawn("text", { ...at, class: name === "to the Moon" ? "wi-on-main" : "wi-on" }, name));
    }
  }

  function drawDays(flight) {
    const phases = flight.phases || [];
    const words = phases.map(([name, begin, finish]) => `${name} ${(finish - begin).toFixed(days < 2 ? 3 : 1)} d`).join(", ");
    const svg = drawn("svg", { viewBox: "-1 0 414 66", role: "img", "aria-label": words || "not flown" });
    phaseRow(svg, plan, 2, false);
    phaseRow(svg, flight, 24, true);
    const step = days > 60 ? 30 : days > 20 ? 5 : 1;
    for (let day = 0; day <= days; day += step) {
      svg.append(drawn("text", { x: 400 * day / days, y: 58, "font-size": 11, "text-anchor": day ? "middle" : "start" }, `${day}`));
      svg.append(drawn("path", { d: `M${400 * day / days} 42 v5`, stroke: "currentColor" }));
    }
    const caption = `Days since lift-off [d]; dashed: the plan; filled: ${words || "not flown"}.`;
    find("days").replaceChildren(svg, make("figcaption", caption, "wi-key"));
  }

  function frame() { // in which every flown path has room
    const points = Object.values(data.flights).flatMap((flight) => (flight.path || []).flat());
    const [xs, ys] = [0, 1].map((i) => points.map((point) => point[i]));
    const pad = 25;
    const [left, right] = [Math.min(...xs) - pad, Math.max(...xs) + pad];
    const [low, high] = [Math.min(...ys) - pad, Math.max(...ys) + pad];
    return { left, low, high, wide: right - left, tall: high - low };
  }
  const box = Object.values(data.flights).some((flight) => (flight.path || []).length) ? frame() : null;

  function way(points, style) {
    const d = points.map(([x, y], i) => `${i ? "L" : "M"}${(x - box.left).toFixed(1)} ${(box.high - y).toFixed(1)}`);
    return drawn("path", { d: d.join(""), fill: "none", "vector-effect": "non-scaling-stroke", ...style });
  }

  function drawPath(flight) {
    const place = find("path");
    if (!box || !(flight.path || []).length) {
      place.replaceChildren(make("p", box ? "No path: this flight does not come to its end." : ""));
      return;
    }
    const label = "The way to the Moon and home to scale, beside that of the plan";
    const svg = drawn("svg", { viewBox: `0 0 ${box.wide} ${box.tall}`, role: "img", "aria-label": label });
    for (const ways of plan.path || []) svg.append(way(ways, { stroke: "currentColor", "stroke-width": 1, "stroke-dasharray": "3 3" }));
    const shades = ["--moon", "--outbound", "--homeward"], dashes = ["2 3", "none", "8 4"];
    flight.path.forEach((ways, i) => {
      const final = i === flight.path.length - 1 && i > 1 ? 2 : Math.min(i, 1);
      svg.append(way(ways, { stroke: `var(${shades[final]})`, "stroke-width": i ? 2.5 : 1.5, "stroke-dasharray": dashes[final] }));
    });
    const [x, y] = flight.path[1].at(-1);
    svg.append(drawn("circle", { cx: x - box.left, cy: box.high - y, r: 5, fill: "var(--moon)" }));
    svg.append(drawn("text", { x: x + 10 - box.left, y: box.high - y + 24, "font-size": 20 }, "Moon"));
    svg.append(drawn("circle", { cx: -box.left, cy: box.high, r: 6.4, fill: "var(--earth)" }));
    svg.append(drawn("text", { x: 12 - box.left, y: box.high + 6, "font-size": 20 }, "Earth"));
    const caption = "To scale, Earth at rest, the Moon straight up at mid-stay: to the Moon (solid), home (long dashes), "
      + "the Moon's own path (dots); thin dashes: the plan.";
    place.replaceChildren(svg, make("figcaption", caption, "wi-key"));
  }

  // --- all of it
  function show() {
    const setting = stops(), shown = shownFor(setting), flight = data.flights[key(shown)];
    root.dataset.shown = key(shown);
    tellLevers(setting);
    tellFlown(setting, shown);
    for (const tell of [tellVerdict, drawBudget, drawDays, drawPath, tellNumbers, tellFindings]) tell(flight);
  }

  function set(setting) {
    setting.forEach((stop, i) => { inputs[i].value = stop; });
    show();
  }

  inputs.forEach((input, i) => {
    input.addEventListener("input", () => { last = i; show(); });
    levers[i].querySelector("button").addEventListener("click", () => {
      last = i;
      set(with_(stops(), i, home[i]));
      input.focus();
    });
  });
  find("home").addEventListener("click", () => { set(home); inputs[0].focus(); });
  set(home);
})();
