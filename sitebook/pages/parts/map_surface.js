// Draws the road index over the ground: tint and hatch by step, and a line round each level.
"use strict";
(() => {
  const layer = sitebook.data.surface;
  const DASHES = [[1, 3], [5, 3], [], []];
  const GREY_STEP = 17;
  const OPAQUE = 255;
  let isOn = false;
  let masks = null;
  const lines = layer ? layer.lines.map((line) => ({ ...line, ...sitebook.unpack(line) })) : [];

  const canvasOf = (width, height) => {
    const made = document.createElement("canvas");
    made.width = width;
    made.height = height;
    return made;
  };

  // One mask a step: opaque where the picture holds that step.
  const maskOf = (pixels, step) => {
    const mask = canvasOf(pixels.width, pixels.height);
    const pen = mask.getContext("2d");
    const made = pen.createImageData(pixels.width, pixels.height);
    for (let i = 0; i < pixels.data.length; i += 4) {
      if (Math.round(pixels.data[i] / GREY_STEP) === step) made.data[i + 3] = OPAQUE;
    }
    pen.putImageData(made, 0, 0);
    return mask;
  };

  const unpackPicture = async ({ png, box }) => {
    const picture = new Image();
    picture.src = png;
    await picture.decode();
    const whole = canvasOf(picture.naturalWidth, picture.naturalHeight);
    const pen = whole.getContext("2d", { willReadFrequently: true });
    pen.drawImage(picture, 0, 0);
    const pixels = pen.getImageData(0, 0, whole.width, whole.height);
    const [left, top] = sitebook.unitsOf(box[0], box[3]);
    const [right, bottom] = sitebook.unitsOf(box[2], box[1]);
    return { box: [left, top, right, bottom], steps: layer.steps.map((_, i) => maskOf(pixels, i + 1)) };
  };

  // Tint and hatch of one step, as a pattern in the dots of the screen.
  const patternOf = (pen, [size, path, strength], dots) => {
    const tile = canvasOf(Math.round(size * dots), Math.round(size * dots));
    const inner = tile.getContext("2d");
    inner.fillStyle = inner.strokeStyle = sitebook.colour("map-index");
    inner.globalAlpha = strength;
    inner.fillRect(0, 0, tile.width, tile.height);
    inner.globalAlpha = 0.75;
    inner.scale(tile.width / size, tile.height / size);
    inner.lineWidth = 1;
    inner.lineCap = "square";
    inner.stroke(new Path2D(path));
    return pen.createPattern(tile, "repeat");
  };

  const paintStep = (pen, view, picture, step, dots) => {
    const sheet = canvasOf(pen.canvas.width, pen.canvas.height);
    const inner = sheet.getContext("2d");
    const [left, top, right, bottom] = picture.box.map((v) => v * view.scale * dots);
    inner.imageSmoothingEnabled = false;
    inner.drawImage(picture.steps[step], left - view.left * dots, top - view.top * dots, right - left, bottom - top);
    inner.globalCompositeOperation = "source-in";
    inner.fillStyle = patternOf(inner, layer.steps[step], dots);
    inner.fillRect(0, 0, sheet.width, sheet.height);
    pen.drawImage(sheet, 0, 0, view.width, view.height);
  };

  sitebook.drawSurface = (pen, view) => {
    if (!isOn || !masks) return;
    const dots = pen.canvas.width / view.width;
    for (const picture of masks) {
      if (!sitebook.meets(picture.box, view.box)) continue;
      for (let step = 0; step < layer.steps.length; step += 1) paintStep(pen, view, picture, step, dots);
    }
    pen.strokeStyle = sitebook.colour("map-index");
    lines.forEach((line, i) => {
      pen.beginPath();
      for (const shape of line.shapes) if (sitebook.meets(shape.box, view.box)) sitebook.trace(pen, line, shape, view);
      pen.setLineDash(DASHES[DASHES.length - lines.length + i] ?? []);
      pen.lineWidth = i === lines.length - 1 ? 2 : 1;
      pen.stroke();
    });
    pen.setLineDash([]);
  };

  const button = document.getElementById("surface-switch");
  button?.addEventListener("click", async () => {
    isOn = !isOn;
    button.setAttribute("aria-pressed", String(isOn));
    button.textContent = isOn ? "Hide the road index" : "Show the road index";
    masks ??= await Promise.all(layer.pictures.map(unpackPicture));
    sitebook.redrawGround();
    document.documentElement.dataset.surface = isOn ? "on" : "off";
  });
})();
