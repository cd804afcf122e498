import type { Kinstand } from '../../state/kinstand.svelte.ts';
import { ledgerFilter } from './ledgerFilter.svelte.ts';
import type { OriginFilter } from './rowFilter.ts';

/** A count is a way into the ledger: its trees are listed and drawn; chosen again, all are let through again. */
export function onlyInLedger(k: Kinstand, f: OriginFilter): void {
  ledgerFilter.toggle(f);
  if (ledgerFilter.has(f)) showLedger(k);
}

export function showLedger(k: Kinstand): void {
  k.session.ledgerOpen = true;
  // On a narrow screen the ledger stands below the screen that the count is on.
  requestAnimationFrame(() => document.querySelector('.panel .ledger')?.scrollIntoView({ block: 'start' }));
}
