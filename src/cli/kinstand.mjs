#!/usr/bin/env node
// The `kinstand` command. Built on first use, then started from the bundle.
import { bundle } from './bundle.mjs';

const { main } = await import(await bundle('src/cli/main.ts'));
process.exitCode = await main(process.argv.slice(2));
