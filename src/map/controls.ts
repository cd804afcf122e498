/** Zoom buttons and scale bar in the look of the rest of the screen. */
import type { IControl, Map as GlMap } from 'maplibre-gl';
import { scaleBar, type Units } from './scale.ts';

const WIDEST = 130;

export class ZoomButtons implements IControl {
  #root = element('div', 'maplibregl-ctrl map-zoom');
  #off: (() => void) | null = null;

  onAdd(map: GlMap): HTMLElement {
    const closer = button('Zoom in', '+', () => map.zoomIn());
    const away = button('Zoom out', '\u2212', () => map.zoomOut());
    const limit = (): void => {
      closer.disabled = map.getZoom() >= map.getMaxZoom();
      away.disabled = map.getZoom() <= map.getMinZoom();
    };
    const watch = map.on('zoomend', limit);
    this.#off = () => watch.unsubscribe();
    this.#root.append(closer, away);
    return this.#root;
  }

  onRemove(): void {
    this.#off?.();
    this.#root.remove();
  }
}

/** A bar of light and dark parts, as at the foot of a printed map: true along the middle of the map. */
export class ScaleBar implements IControl {
  #root = element('div', 'maplibregl-ctrl map-scale');
  #bar = element('div', 'map-scale-bar');
  #label = element('div', 'map-scale-label');
  #map: GlMap | null = null;
  #units: Units = 'metric';
  #off: (() => void) | null = null;

  onAdd(map: GlMap): HTMLElement {
    this.#map = map;
    this.#root.append(this.#bar, this.#label);
    const watch = map.on('move', () => this.#draw());
    this.#off = () => watch.unsubscribe();
    this.#draw();
    return this.#root;
  }

  onRemove(): void {
    this.#off?.();
    this.#root.remove();
    this.#map = null;
  }

  setUnits(units: Units): void {
    this.#units = units;
    this.#draw();
  }

  #draw(): void {
    if (!this.#map) return;
    const bar = scaleBar(this.#map.getCenter().lat, this.#map.getZoom(), this.#units, WIDEST);
    this.#bar.style.width = `${bar.pixels.toFixed(1)}px`;
    this.#bar.style.setProperty('--parts', String(bar.parts));
    this.#label.textContent = bar.label;
    this.#label.setAttribute('aria-label', `Scale bar: ${bar.label}`);
  }
}

function element(tag: 'div', className: string): HTMLElement {
  const made = document.createElement(tag);
  made.className = className;
  return made;
}

function button(name: string, sign: string, press: () => void): HTMLButtonElement {
  const made = document.createElement('button');
  made.type = 'button';
  made.title = name;
  made.setAttribute('aria-label', name);
  made.textContent = sign;
  made.addEventListener('click', press);
  return made;
}
