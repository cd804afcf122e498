/**
 * How the demo's trees came to stand where they do. The record of it (truth.json) is for the report on how well origin is told
 * apart; the app never reads it, and no record of a candidate holds it.
 */
export const KINDS = {
  woods: { origin: 'natural', how: 'came up in the woods' },
  edge: { origin: 'natural', how: 'came up at the edge of the woods' },
  'old field': { origin: 'natural', how: 'seeded into a field that was left' },
  'young old field': { origin: 'natural', how: 'seeded into a field near a house, left not long ago' },
  'burial ground': { origin: 'natural', how: 'stood there before the burial ground was opened' },
  orchard: { origin: 'natural', how: 'came up at the edge of the orchard, or stood there before it' },
  'park remnant': { origin: 'natural', how: 'left standing when the park was laid out' },
  'yard remnant': { origin: 'natural', how: 'left standing when the house was built' },
  'verge remnant': {
    origin: 'natural',
    how: 'left standing when the street was laid out; listed by the town',
  },
  'lot remnant': { origin: 'natural', how: 'left standing behind the last houses of the town' },
  'fence row': { origin: 'natural', how: 'came up along a fence, seeded by birds' },
  'road edge': { origin: 'natural', how: 'came up in the woods that the road was cut through' },
  grove: { origin: 'natural', how: 'seedlings about a few old trees' },
  'road row': { origin: 'planted', how: 'set in a row when the road was paved' },
  'campus block': { origin: 'planted', how: 'set in a block by a class of the college' },
  'campus tree': { origin: 'planted', how: 'set by the college, which keeps a list' },
  'street tree': { origin: 'planted', how: 'set by the town, which keeps a list' },
  'yard tree': { origin: 'planted', how: 'set by those who lived in the house' },
  'yard by the woods': { origin: 'planted', how: 'set at a house that stands at the edge of the woods' },
  'town yard': { origin: 'planted', how: 'set in front of a house in town' },
  memorial: { origin: 'planted', how: 'set in memory of somebody in the burial ground' },
  'park planting': { origin: 'planted', how: 'set when the park was laid out, or later' },
  plantation: { origin: 'planted', how: 'a plantation of the past, grown into the woods about it' },
  windbreak: { origin: 'planted', how: 'set in a row along a field against the wind' },
  'lane row': { origin: 'planted', how: 'set along the lane to a farm' },
  restoration: { origin: 'planted', how: 'set here and there in an old field to bring oak back' },
  'lone in the woods': { origin: 'planted', how: 'set in the woods in memory of a hunting camp' },
} as const satisfies Record<string, { readonly origin: 'natural' | 'planted'; readonly how: string }>;
export type Kind = keyof typeof KINDS;
