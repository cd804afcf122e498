/** node src/cli/ts.mjs src/cli/floatPlanes.ts: writes src/io/read/rasters/floatPlanesModule.ts from floatPlanes.wat beside it, with wat2wasm (Debian: wabt). */
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';

const ROOM = 'src/io/read/rasters';
const bytes = execFileSync('wat2wasm', [`${ROOM}/floatPlanes.wat`, '--output=-']);
writeFileSync(
  `${ROOM}/floatPlanesModule.ts`,
  `/** floatPlanes.wat assembled, in base64. Made by src/cli/floatPlanes.ts. */
export const floatPlanesModule =
  '${bytes.toString('base64')}';
`,
);
