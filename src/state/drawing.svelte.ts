/** An outline that is being drawn on the map, corner by corner: nothing of it is in the plan until it is closed. */
import { geodesicArea } from '../domain/base/geodesy.ts';
import type { MultiPolygon, Place } from '../domain/base/geo.ts';
import { CLOSING_CROSSES, closeOutline, mayFollow, REFUSALS } from '../domain/layers/drawnOutline.ts';

export class Drawing {
  corners = $state.raw<readonly Place[]>([]);
  /** Where the pointer is, null: off the map, or a finger. */
  aim = $state.raw<Place | null>(null);
  /** Why the last corner was not set, or the outline not closed; '' nothing is wrong. */
  refused = $state('');

  /** Square metres of what would be closed now, the pointer being its next corner; 0 of less than three corners. */
  get squareMetres(): number {
    const aim = this.aim && mayFollow(this.corners, this.aim) ? [this.aim] : [];
    const ring = [...this.corners, ...aim].map(({ lon, lat }) => [lon, lat] as const);
    return ring.length < 3 ? 0 : geodesicArea([[ring]]);
  }

  add(corner: Place): void {
    const follows = mayFollow(this.corners, corner);
    this.refused = follows ? '' : REFUSALS.crosses;
    if (follows) this.corners = [...this.corners, corner];
  }

  back(): void {
    this.corners = this.corners.slice(0, -1);
    this.refused = '';
  }

  /** The outline; null, and said, where it cannot be closed as it is. */
  close(): MultiPolygon | null {
    const closed = closeOutline(this.corners);
    if (closed.ok) return closed.outline;
    this.refused = closed.why === 'crosses' ? CLOSING_CROSSES : REFUSALS[closed.why];
    return null;
  }
}
