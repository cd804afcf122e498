/**
 * Numbers as people write them: "22.5", "22,5", "1,234.5", "1.234,5", "4 205 000". What a single comma or point before three
 * digits means ("1,234") no cell can tell; the whole column does.
 */
export interface NumberStyle {
  readonly comma: 'decimal' | 'thousands';
  readonly point: 'decimal' | 'thousands';
  /** A cell that may be read in two ways where no other cell of the column decides; '' none. */
  readonly doubt: string;
}

export const PLAIN: NumberStyle = { comma: 'decimal', point: 'decimal', doubt: '' };

/** Collects what the cells of a column say of its commas and points. */
export class StyleVotes {
  #commaDecimal = 0;
  #commaThousands = 0;
  #pointDecimal = 0;
  #pointThousands = 0;
  #doubt = '';

  add(cell: string): void {
    const comma = cell.indexOf(',');
    const point = cell.indexOf('.');
    if (comma < 0 && point < 0) return;
    const digits = /[+-]?\d[\d.,\s\u00a0\u202f]*/.exec(cell)?.[0].trim() ?? '';
    const commas = digits.split(',').length - 1;
    const points = digits.split('.').length - 1;
    if (commas > 0 && points > 0) {
      if (digits.lastIndexOf(',') > digits.lastIndexOf('.')) {
        this.#commaDecimal++;
        this.#pointThousands++;
      } else {
        this.#commaThousands++;
        this.#pointDecimal++;
      }
    } else if (commas > 1) this.#commaThousands++;
    else if (points > 1) this.#pointThousands++;
    else if (commas === 1) {
      if (AMBIGUOUS.test(digits)) this.#doubt ||= cell;
      else this.#commaDecimal++;
    } else if (points === 1 && !AMBIGUOUS.test(digits)) this.#pointDecimal++;
  }

  /** @param likely what a comma before three digits means where nothing decides. */
  style(likely: 'decimal' | 'thousands' = 'decimal'): NumberStyle {
    const thousands = this.#commaThousands > 0 || this.#pointDecimal > 0;
    const decided = this.#commaDecimal > 0 ? !(this.#commaThousands > 0) : thousands;
    const comma = this.#commaDecimal > 0 ? 'decimal' : thousands ? 'thousands' : likely;
    return {
      comma,
      point: this.#pointThousands > 0 && this.#pointDecimal === 0 ? 'thousands' : 'decimal',
      doubt: decided ? '' : this.#doubt,
    };
  }
}

/** "1,234", "12.345": a group of thousands or three decimals. "0,123" and "1234,567" are decimals. */
const AMBIGUOUS = /^[+-]?[1-9]\d{0,2}[.,]\d{3}$/;

/** The number that a cell holds, NaN where it is none. Spaces between groups of three digits are left out. */
export function numberIn(cell: string, style: NumberStyle = PLAIN): number {
  let text = cell.trim();
  if (/^[+-]?\d+(\.\d+)?$/.test(text) && (style.point === 'decimal' || !AMBIGUOUS.test(text)))
    return Number(text);
  text = text.replace(/[−–]/g, '-').replace(/(\d)[\s\u00a0\u202f'’](?=\d{3}(\D|$))/g, '$1');
  if (!/^[+-]?\d[\d.,]*$|^[+-]?[.,]\d+$/.test(text)) return NaN;
  const commas = text.split(',').length - 1;
  const points = text.split('.').length - 1;
  const last = text.lastIndexOf(',') > text.lastIndexOf('.') ? ',' : '.';
  if (commas > 0 && points > 0) return grouped(text, last === ',' ? '.' : ',', last);
  if (commas > 1) return grouped(text, ',', '.');
  if (points > 1) return grouped(text, '.', ',');
  if (commas === 1)
    return style.comma === 'thousands' && AMBIGUOUS.test(text)
      ? grouped(text, ',', '.')
      : Number(text.replace(',', '.'));
  return style.point === 'thousands' && AMBIGUOUS.test(text) ? grouped(text, '.', ',') : Number(text);
}

/** Groups of three between `separator`; anything else is no number. */
function grouped(text: string, separator: string, decimal: string): number {
  const [whole, ...fraction] = text.split(decimal);
  const groups = whole.split(separator);
  if (
    fraction.length > 1 ||
    !/^[+-]?\d{1,3}$/.test(groups[0]) ||
    groups.slice(1).some((g) => !/^\d{3}$/.test(g))
  )
    return NaN;
  return Number(groups.join('') + (fraction.length > 0 ? `.${fraction[0]}` : ''));
}
