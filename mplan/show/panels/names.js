// Names the sliders, boxes and choices of the panel around it; what is added later is named too.

const PARTS = ".widget-slider, input[type=number], input[type=checkbox], .widget-toggle-buttons";

// The name that people see: that of the slider, or of the label in front.
function title(row) {
  return row?.querySelector(".widget-label:not(:empty)")?.textContent.trim() ?? "";
}

function set(element, name, value) {
  if (value && element.getAttribute(name) !== value) element.setAttribute(name, value);
}

// The slider writes a bare number at each move, which is then read with its unit.
function nameSlider(slider) {
  const handle = slider.querySelector(".noUi-handle");
  if (!handle) return;
  const name = title(slider);
  set(handle, "aria-label", name);
  const unit = name.match(/\[(.*)\]$/)?.[1] ?? "";
  const written = Number(handle.getAttribute("aria-valuetext"));
  if (Number.isNaN(written)) return;
  const number = Number(written.toPrecision(10)); // steps are added up in binary
  set(handle, "aria-valuetext", `${number} ${unit}`.trim());
}

function name(part) {
  const row = part.closest(".mplan-control");
  if (part.matches(".widget-slider")) nameSlider(part);
  else if (part.matches("input[type=number]")) set(part, "aria-label", `${title(row)}, number`);
  else if (part.matches("input[type=checkbox]")) set(part, "aria-label", `${title(row)}, on or off`);
  else {
    part.setAttribute("role", "group");
    set(part, "aria-label", title(row));
    for (const each of part.querySelectorAll("button")) {
      set(each, "aria-pressed", String(each.classList.contains("mod-active")));
    }
  }
}

function render({ el }) {
  el.classList.add("mplan-names");
  let watch;

  function begin() {
    const panel = el.closest(".mplan-board");
    if (!panel) return requestAnimationFrame(begin);
    const all = () => panel.querySelectorAll(PARTS).forEach(name);
    watch = new MutationObserver(all);
    watch.observe(panel, {
      subtree: true,
      childList: true,
      attributes: true,
      attributeFilter: ["aria-valuenow", "aria-valuetext", "class"],
    });
    panel.querySelector(".mplan-place")?.setAttribute("aria-live", "polite");
    all();
  }

  requestAnimationFrame(begin);
  return () => watch?.disconnect();
}

export default { render };
