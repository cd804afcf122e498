/** npm run schema: writes the published JSON Schema of the plan file from the one the program checks with. */
import { writeFileSync } from 'node:fs';
import { planJsonSchema } from './planJsonSchema.ts';

writeFileSync('public/plan.schema.json', JSON.stringify(planJsonSchema(), null, 2) + '\n');
