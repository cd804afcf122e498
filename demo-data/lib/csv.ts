/** RFC 4180 text, lines ended by a line feed. */
export function toCsv(columns: readonly string[], rows: ReadonlyArray<readonly (string | number)[]>): string {
  const cell = (x: string | number): string =>
    /[",\n\r]/.test(String(x)) ? `"${String(x).replaceAll('"', '""')}"` : String(x);
  return [columns, ...rows].map((r) => r.map(cell).join(',')).join('\n') + '\n';
}
