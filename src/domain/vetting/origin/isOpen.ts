import { ORIGIN_VERDICTS, type OriginColumns } from './types.ts';

const UNSETTLED = ORIGIN_VERDICTS.indexOf('unsettled');
const NOT_ENOUGH = ORIGIN_VERDICTS.indexOf('not enough evidence');

/** Whether more evidence is wanted for this verdict (index into ORIGIN_VERDICTS). */
export const isOpenVerdict = (verdict: number): boolean => verdict === UNSETTLED || verdict === NOT_ENOUGH;

/** Unsettled, or not enough evidence, and not decided: what more evidence is wanted for. */
export const isOpen = ({ verdict, decided }: OriginColumns, row: number): boolean =>
  decided[row] === 0 && isOpenVerdict(verdict[row]);
