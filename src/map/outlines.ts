/** State and county outlines that come with the app (us-atlas, from US Census Bureau data), read when the map is up. */
import countiesUrl from 'us-atlas/counties-10m.json?url';
import { mesh } from 'topojson-client';

type Topology = Parameters<typeof mesh>[0];

export async function loadOutlines(): Promise<{ states: unknown; counties: unknown } | null> {
  try {
    const response = await fetch(countiesUrl);
    if (!response.ok) return null;
    const topology = (await response.json()) as Topology & { objects: { states: never; counties: never } };
    return {
      states: mesh(topology, topology.objects.states),
      counties: mesh(topology, topology.objects.counties, (a, b) => a !== b),
    };
  } catch (error) {
    // Outlines are a help to the eye only: the map goes on without them, and the console says why.
    console.warn('outlines could not be read', error);
    return null;
  }
}
