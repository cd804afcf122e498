/** Marks that circles cannot draw, as small pictures at twice the size. */
import { coloursOf } from './colours.ts';
import type { Scheme } from './view.ts';

const RATIO = 2;

function drawn(size: number, draw: (g: CanvasRenderingContext2D) => void): ImageData {
  const canvas = document.createElement('canvas');
  canvas.width = canvas.height = size * RATIO;
  const g = canvas.getContext('2d');
  if (!g) return new ImageData(size * RATIO, size * RATIO);
  g.scale(RATIO, RATIO);
  draw(g);
  return g.getImageData(0, 0, size * RATIO, size * RATIO);
}

/** Needs a check: a dot filled on its left half. */
function half(scheme: Scheme): ImageData {
  const c = coloursOf(scheme);
  return drawn(14, (g) => {
    g.fillStyle = c.paper;
    g.beginPath();
    g.arc(7, 7, 5.2, 0, 2 * Math.PI);
    g.fill();
    g.fillStyle = c.unsettled;
    g.beginPath();
    g.arc(7, 7, 5, Math.PI / 2, 1.5 * Math.PI);
    g.fill();
    g.strokeStyle = c.unsettled;
    g.lineWidth = 1.3;
    g.beginPath();
    g.arc(7, 7, 4.6, 0, 2 * Math.PI);
    g.stroke();
  });
}

/** The planting site: a cross in a square, as on a survey plan. */
function site(scheme: Scheme): ImageData {
  const c = coloursOf(scheme);
  return drawn(26, (g) => {
    g.fillStyle = c.paper;
    g.fillRect(5, 5, 16, 16);
    g.strokeStyle = c.ink;
    g.lineWidth = 2;
    g.strokeRect(5, 5, 16, 16);
    g.beginPath();
    g.moveTo(13, 1);
    g.lineTo(13, 25);
    g.moveTo(1, 13);
    g.lineTo(25, 13);
    g.stroke();
  });
}

export function marks(): Array<{
  readonly name: string;
  readonly image: ImageData;
  readonly pixelRatio: number;
}> {
  return (['light', 'dark'] as const).flatMap((scheme) => [
    { name: `half ${scheme}`, image: half(scheme), pixelRatio: RATIO },
    { name: `site ${scheme}`, image: site(scheme), pixelRatio: RATIO },
  ]);
}
