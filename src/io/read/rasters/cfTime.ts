/** Time coordinates of NetCDF files as dates: "days since 1950-01-01" and a calendar (CF 1.11, section 4.4). */
const UNITS: Readonly<Record<string, number>> = {
  day: 86_400,
  days: 86_400,
  d: 86_400,
  hour: 3600,
  hours: 3600,
  hr: 3600,
  h: 3600,
  minute: 60,
  minutes: 60,
  min: 60,
  second: 1,
  seconds: 1,
  sec: 1,
  s: 1,
};
const MONTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/** A function from a time to "1961-01-16"; null where the unit or the calendar is not understood. */
export function cfDates(units: string, calendar = 'standard'): ((time: number) => string) | null {
  const match =
    /^\s*(\w+)\s+since\s+(-?\d{1,4})-(\d{1,2})(?:-(\d{1,2}))?(?:[ T]+(\d{1,2})(?::(\d{1,2}))?(?::(\d{1,2}))?)?/i.exec(
      units,
    );
  const seconds = UNITS[match?.[1].toLowerCase() ?? ''];
  if (!match || seconds === undefined) return null;
  const [year, month, day, hour, minute, second] = match
    .slice(2)
    .map((x) => (x === undefined ? null : Number(x)));
  const offset = (hour ?? 0) * 3600 + (minute ?? 0) * 60 + (second ?? 0);
  const shape = calendarOf(calendar.toLowerCase());
  if (!shape || year === null || month === null) return null;
  const start = shape.toDays(year, month, day ?? 1);
  return (time) => {
    const days = start + Math.floor((time * seconds + offset) / 86_400 + 1e-9);
    if (!Number.isFinite(days)) return 'no date';
    const [y, m, d] = shape.toDate(days);
    return `${String(y).padStart(4, '0')}-${String(m).padStart(2, '0')}-${String(d).padStart(2, '0')}`;
  };
}

interface Calendar {
  toDays(year: number, month: number, day: number): number;
  toDate(days: number): [number, number, number];
}

function calendarOf(name: string): Calendar | null {
  if (name === '360_day')
    return {
      toDays: (y, m, d) => y * 360 + (m - 1) * 30 + d - 1,
      toDate: (n) => [
        Math.floor(n / 360),
        Math.floor((((n % 360) + 360) % 360) / 30) + 1,
        (((n % 30) + 30) % 30) + 1,
      ],
    };
  if (name === 'noleap' || name === '365_day')
    return {
      toDays: (y, m, d) => y * 365 + MONTHS.slice(0, m - 1).reduce((a, b) => a + b, 0) + d - 1,
      toDate: (n) => {
        let rest = ((n % 365) + 365) % 365;
        let m = 0;
        while (rest >= MONTHS[m]) rest -= MONTHS[m++];
        return [Math.floor(n / 365), m + 1, rest + 1];
      },
    };
  if (!['standard', 'gregorian', 'proleptic_gregorian'].includes(name)) return null;
  // The reform of 1582 is left aside: a base date before it, as in "days since 0001-01-01", is rare and then taken as
  // proleptic, which is off by two days in the year 1.
  return {
    toDays: (y, m, d) => {
      const date = new Date(0);
      date.setUTCFullYear(y, m - 1, d);
      return Math.round(date.getTime() / 86_400_000);
    },
    toDate: (n) => {
      const date = new Date(n * 86_400_000);
      return [date.getUTCFullYear(), date.getUTCMonth() + 1, date.getUTCDate()];
    },
  };
}
