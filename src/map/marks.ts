/** Marks that circles cannot draw, as small pictures at twice the size, drawn when a style first uses them. */
import { coloursOf, type Colours } from './colours.ts';
import type { Scheme } from './view.ts';

export const MARK_RATIO = 2;

type Draw = (g: CanvasRenderingContext2D, c: Colours) => void;

const circle = (g: CanvasRenderingContext2D, middle: number, radius: number): void => {
  g.beginPath();
  g.arc(middle, middle, radius, 0, 2 * Math.PI);
};

/** Needs a check: a dot filled on its left half. */
const half: Draw = (g, c) => {
  g.fillStyle = c.paper;
  circle(g, 8, 6.4);
  g.fill();
  g.fillStyle = c.unsettled;
  g.beginPath();
  g.arc(8, 8, 4.8, Math.PI / 2, 1.5 * Math.PI);
  g.fill();
  g.strokeStyle = c.unsettled;
  g.lineWidth = 1.4;
  circle(g, 8, 4.8);
  g.stroke();
};

/** A member: a disc for its number; one set by a person against the rules has a second ring. */
const member =
  (set: boolean): Draw =>
  (g, c) => {
    g.fillStyle = c.paper;
    circle(g, 15, set ? 14.6 : 12.4);
    g.fill();
    g.fillStyle = c.accent;
    circle(g, 15, 11);
    g.fill();
    if (!set) return;
    g.strokeStyle = c.unsettled;
    g.lineWidth = 2;
    circle(g, 15, 13.2);
    g.stroke();
  };

/** A reserve: a ring for its letter. */
const reserve: Draw = (g, c) => {
  g.fillStyle = c.paper;
  circle(g, 15, 9.8);
  g.fill();
  g.strokeStyle = c.accent;
  g.lineWidth = 1.7;
  circle(g, 15, 8.8);
  g.stroke();
};

/** The planting site: a cross in a square, as on a survey plan, on paper so that it shows on any ground. */
const site: Draw = (g, c) => {
  const lines = (): void => {
    g.strokeRect(7, 7, 16, 16);
    g.beginPath();
    g.moveTo(15, 2);
    g.lineTo(15, 28);
    g.moveTo(2, 15);
    g.lineTo(28, 15);
    g.stroke();
  };
  g.fillStyle = c.paper;
  g.fillRect(7, 7, 16, 16);
  g.lineCap = 'square';
  g.strokeStyle = c.paper;
  g.lineWidth = 4.6;
  lines();
  g.strokeStyle = c.ink;
  g.lineWidth = 2;
  lines();
};

/** Which way the day goes. */
const arrow: Draw = (g, c) => {
  g.beginPath();
  g.moveTo(3.5, 2.5);
  g.lineTo(12, 8);
  g.lineTo(3.5, 13.5);
  g.lineTo(6, 8);
  g.closePath();
  g.strokeStyle = c.paper;
  g.lineWidth = 3;
  g.stroke();
  g.fillStyle = c.route;
  g.fill();
};

/** Where the day starts and ends: a ring. */
const end: Draw = (g, c) => {
  g.fillStyle = c.paper;
  circle(g, 9, 8);
  g.fill();
  g.strokeStyle = c.route;
  g.lineWidth = 2.5;
  circle(g, 9, 5.2);
  g.stroke();
};

/** Where a photo was taken: a print with its horizon. */
const photo: Draw = (g, c) => {
  g.fillStyle = c.paper;
  g.fillRect(0.5, 2.5, 17, 13);
  g.strokeStyle = c.ink;
  g.lineWidth = 1.6;
  g.strokeRect(2, 4, 14, 10);
  g.beginPath();
  g.moveTo(3, 12);
  g.lineTo(7.5, 8);
  g.lineTo(10, 10.5);
  g.lineTo(12, 9);
  g.lineTo(15, 12);
  g.stroke();
};

/** Which way it was taken: a wedge to the north, turned by the style. */
const way: Draw = (g, c) => {
  g.beginPath();
  g.moveTo(20, 20);
  g.lineTo(11, 3);
  g.lineTo(29, 3);
  g.closePath();
  g.globalAlpha = 0.45;
  g.fillStyle = c.ink;
  g.fill();
};

/** A candidate that is being set down or moved: a ring with hairs, as on a sighting, that a finger can hold. */
const draft: Draw = (g, c) => {
  const lines = (): void => {
    circle(g, 18, 10);
    g.stroke();
    g.beginPath();
    for (const [x, y] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ]) {
      g.moveTo(18 + 5 * x, 18 + 5 * y);
      g.lineTo(18 + 16 * x, 18 + 16 * y);
    }
    g.stroke();
  };
  g.strokeStyle = c.paper;
  g.lineWidth = 6;
  lines();
  g.strokeStyle = c.accent;
  g.lineWidth = 2.6;
  lines();
  g.fillStyle = c.accent;
  circle(g, 18, 2);
  g.fill();
};

/** Ground to be planted: ruled down to the right, where ground in use is hatched upward. Joins at its edges. */
const ruling: Draw = (g, c) => {
  g.strokeStyle = c.ink;
  g.lineWidth = 0.9;
  g.beginPath();
  for (const [x0, y0, x1, y1] of [
    [-2, -2, 12, 12],
    [8, -2, 12, 2],
    [-2, 8, 2, 12],
  ]) {
    g.moveTo(x0, y0);
    g.lineTo(x1, y1);
  }
  g.stroke();
};

/** Marks in the colours of a scheme: side of the picture in pixels, and how it is drawn. */
const MARKS = {
  half: [16, half],
  member: [30, member(false)],
  overridden: [30, member(true)],
  reserve: [30, reserve],
  site: [30, site],
  arrow: [16, arrow],
  end: [18, end],
  photo: [18, photo],
  view: [40, way],
  draft: [36, draft],
  ruling: [10, ruling],
} as const satisfies Record<string, readonly [number, Draw]>;

/** Marks in a colour of a legend. Patterns join at their edges. */
const TINTED = {
  /** A planted tree. */
  cross: [
    8,
    [
      [1.5, 4, 6.5, 4],
      [4, 1.5, 4, 6.5],
    ],
  ],
  /** Ground in use. */
  hatch: [
    8,
    [
      [-2, 2, 2, -2],
      [-2, 10, 10, -2],
      [6, 10, 10, 6],
    ],
  ],
  /** Water: short level strokes, set off from line to line. */
  waves: [
    12,
    [
      [1, 3, 7, 3],
      [7, 9, 13, 9],
      [-5, 9, 1, 9],
    ],
  ],
} as const satisfies Record<
  string,
  readonly [number, ReadonlyArray<readonly [number, number, number, number]>]
>;

type Hex = `#${string}`;
/** Name of a mark in a scheme, or of a tinted one in a colour: what a style calls it, and all that is needed to draw it. */
export function markName(mark: keyof typeof MARKS, scheme: Scheme): string;
export function markName(mark: keyof typeof TINTED, colour: Hex): string;
export function markName(mark: string, look: string): string {
  return `${mark} ${look}`;
}

/** The picture of a name made by markName. An unknown name is a mistake of the style. */
export function mark(name: string): ImageData {
  const [kind, look] = name.split(' ');
  if (kind in MARKS) {
    const [size, draw] = MARKS[kind as keyof typeof MARKS];
    return drawn(size, (g) => draw(g, coloursOf(look === 'dark' ? 'dark' : 'light')));
  }
  if (!(kind in TINTED)) throw new Error(`no mark "${name}"`);
  const [size, strokes] = TINTED[kind as keyof typeof TINTED];
  return drawn(size, (g) => {
    g.strokeStyle = look;
    g.lineWidth = kind === 'cross' ? 1.4 : 0.9;
    for (const [x0, y0, x1, y1] of strokes) {
      g.beginPath();
      g.moveTo(x0, y0);
      g.lineTo(x1, y1);
      g.stroke();
    }
  });
}

function drawn(size: number, draw: (g: CanvasRenderingContext2D) => void): ImageData {
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = size * MARK_RATIO;
  const g = canvas.getContext('2d');
  if (!g) return new ImageData(size * MARK_RATIO, size * MARK_RATIO);
  g.scale(MARK_RATIO, MARK_RATIO);
  draw(g);
  return g.getImageData(0, 0, size * MARK_RATIO, size * MARK_RATIO);
}
