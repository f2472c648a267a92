// Outlines: taken from fonts or told as paths, moved, measured and written short. A command is a letter and its points, x
// and y in turn.

/** How many points of a curve it is measured by. */
const STEPS = 24;

/** A shape of straight lines and circles: M, L, H, V, Z, and A for half a circle to the right or left. */
export function parsed(path) {
  const commands = [];
  let [x, y] = [0, 0];
  for (const [, letter, rest] of path.matchAll(/([MLHVAZ])([^MLHVAZ]*)/g)) {
    const numbers = (rest.match(/-?(\d+\.?\d*|\.\d+)/g) ?? []).map(Number);
    if (letter === "Z") {
      commands.push(["Z"]);
    } else if (letter === "A") {
      const [radius, clockwise, to] = [numbers[0], numbers[4] === 1, numbers[5]];
      commands.push(...half(x, y, to > x ? radius : -radius, clockwise === to > x ? -radius : radius));
      x = to;
    } else {
      [x, y] = letter === "H" ? [numbers[0], y] : letter === "V" ? [x, numbers[0]] : numbers;
      commands.push([letter === "M" ? "M" : "L", x, y]);
    }
  }
  return commands;
}

/** Half a circle as two curves; its radius is negative to the left, and down the page for half a circle above. */
function half(x, y, across, down) {
  const [wide, high] = [across * 0.5523, down * 0.5523];
  return [
    ["C", x, y + high, x + across - wide, y + down, x + across, y + down],
    ["C", x + across + wide, y + down, x + 2 * across, y + high, x + 2 * across, y],
  ];
}

/** A glyph's outline as its font has it, or one of its contours. */
export function taken(glyph, contour) {
  const commands = glyph.path.commands.map(({ type, x1, y1, x2, y2, x, y }) => [type, ...[x1, y1, x2, y2, x, y].filter((value) => value !== undefined)]);
  if (contour === undefined) return commands;
  const starts = [...commands.keys()].filter((at) => commands[at][0] === "M");
  return commands.slice(starts[contour], starts[contour + 1]);
}

/** Every point put elsewhere. */
export const moved = (commands, x, y) => commands.map(([letter, ...points]) => [letter, ...points.map((value, at) => (at % 2 === 0 ? x(value) : y(value)))]);

/** Points along an outline. */
function along(commands) {
  const all = [];
  let last = [];
  for (const [letter, ...points] of commands) {
    if (letter === "Z") continue;
    for (let step = letter === "M" ? STEPS : 1; step <= STEPS; step += 1) {
      let level = letter === "M" ? points : [...last, ...points];
      // The next level of a curve's points lies between those of the one before.
      while (level.length > 2) level = level.slice(0, -2).map((value, at) => value + ((level[at + 2] - value) * step) / STEPS);
      all.push(level);
    }
    last = points.slice(-2);
  }
  return all;
}

/** The box around an outline, and how high its leftmost and rightmost points stand. */
export function measured(commands) {
  const all = along(commands);
  const [xs, ys] = [0, 1].map((axis) => all.map((point) => point[axis]));
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const height = (edge) => {
    const there = all.filter(([x]) => Math.abs(x - edge) < 1e-6).map(([, y]) => y);
    return there.reduce((sum, y) => sum + y, 0) / there.length;
  };
  return { left, right, top: Math.min(...ys), bottom: Math.max(...ys), atLeft: height(left), atRight: height(right) };
}

/** The outline as a path, to hundredths, each point told from the one before. */
export function written(commands) {
  let [x, y, path] = [0, 0, ""];
  let start = [0, 0];
  const joined = (numbers) => numbers.reduce((all, number) => all + (all && !number.startsWith("-") ? " " : "") + number, "");
  for (const [letter, ...values] of commands) {
    if (letter === "Z") {
      path += "z";
      // What comes next is told from where this line began.
      [x, y] = start;
      continue;
    }
    const hundredths = values.map((value) => Math.round(value * 100));
    const told = hundredths.map((value, at) => String((value - (at % 2 === 0 ? x : y)) / 100).replace(/^(-?)0\./, "$1."));
    path += letter.toLowerCase() + joined(told);
    [x, y] = hundredths.slice(-2);
    if (letter === "M") start = [x, y];
  }
  return path;
}
