// Judges the simple measures of one system from its limits sheet: without network, provisionally.
// What its fields mean stands in src/engine/limits_sheet; the suite holds it against the engine.
// @ts-check

/** @typedef {number | null | string | any[]} Term */
/** @typedef {{term: Term, points: string[], tables?: string[]}} Way */
/** @typedef {{low?: number, high?: number}} Limits */
/** @typedef {Limits & {measure: string, label: string, unit: string, decimals: number, allowed?: string,
 *   shown?: [number, number], procedure: string, field: string, ways: Way[], unanswered: string,
 *   points?: string[], only_with?: string[][], network?: boolean, lacks?: string, never?: string,
 *   network_with?: {all: string[], unless?: string}[], hazard?: string, caution?: string,
 *   around?: Way & {tolerance: number, unanswered: string}}} Measure */
/** @typedef {Record<string, number>} Numbers readings, or minutes since arrival, by point */
/** @typedef {{readings: Numbers, ticks: string[], minutes: Numbers}} Taken what one stage holds */
/** @typedef {'within' | 'too_close' | 'outside' | 'not_valid' | 'not_taken' | 'needs_network'} Outcome */
/** @typedef {{measure: string, label: string, outcome: Outcome, value: number | null, words: string,
 *   field: string, hazard?: string}} Verdict */
/** @typedef {any} Sheet what the server laid into the page */

/** So near a decision's edge it is called too close: a last digit may differ from the engine's. */
const EDGE = 1e-9;

/** A number as people type it; nothing where it is none. @param {string} text */
export const number = (text) => {
  const typed = text.replace(/^\p{White_Space}*\+?|\p{White_Space}+$/gu, '').replace('−', '-');
  const value = /^-?(\d+[.,]?\d*|[.,]\d+)$/.test(typed) ? Number(typed.replace(',', '.')) : NaN;
  return Number.isFinite(value) ? value : null;
};

/** What stands in a table: a cubic piece between two knots.
 * @param {{psi?: number, knots: number[][]}} table @param {number} at */
const look = ({ psi, knots }, at) => {
  const x = psi === undefined ? at : Math.log(at + psi);
  const after = knots.findIndex(([knot], place) => 0 < place && x <= knot);
  if (after < 1 || x < knots[after - 1][0]) return null;
  const [[start, low, rise], [end, high, fall]] = knots.slice(after - 1);
  const along = (x - start) / (end - start);
  const rest = 1 - along;
  const bend = (end - start) * along * rest * (rest * rise - along * fall);
  const y = rest * rest * (1 + 2 * along) * low + along * along * (3 - 2 * along) * high + bend;
  return psi === undefined ? y : (1 / y) * 1.8 - 459.67;
};

/** The value of a term, with one of its inputs moved. @returns {number | null}
 * @param {Sheet} sheet @param {Numbers} read @param {Term} term */
const work = (sheet, read, term, moved = '', by = 0) => {
  if (term === null || typeof term === 'number') return term;
  const shift = (/** @type {string} */ name) => (name === moved ? by : 0);
  if (typeof term === 'string') return term in read ? read[term] + shift(term) : null;
  const [operation, ...parts] = term;
  const of = /** @type {number[]} */ (parts.map((it) => work(sheet, read, it, moved, by)));
  if (of.some((it) => it === null)) return null;
  const sum = of.reduce((all, it) => all + it);
  if (operation === '+') return sum;
  if (operation === '-') return of[0] - of[1];
  if (operation === '*') return of[0] * of[1];
  if (operation === '/') return of[1] > 0 ? of[0] / of[1] : null;
  if (operation === 'max') return Math.max(...of);
  if (operation === 'far') return Math.max(...of.map((it) => Math.abs(it - sum / of.length)));
  const found = look(sheet.tables[operation], of[0]);
  return found === null ? null : found + shift(operation);
};

/** A value, and half of its change as each input moves by its own uncertainty to either side, as
 * JCGM 100:2008, 5.1.3 says. @param {Sheet} sheet @param {Numbers} read @param {Way} way */
const estimate = (sheet, read, { term, points, tables = [] }) => {
  const value = work(sheet, read, term);
  if (value === null || !Number.isFinite(value)) return null;
  const halves = /** @type {Numbers} */ ({});
  for (const input of [...points, ...tables]) {
    const [share, plus] = sheet.points[input]?.u ?? [0, sheet.tables[input]?.u];
    const u = share * Math.abs(read[input] ?? 0) + plus;
    const [up, down] = [u, -u].map((by) => work(sheet, read, term, input, by));
    if (up === null && down === null) return null;
    const [more, less] = [(up ?? value) - value, (down ?? value) - value];
    halves[input] = (more - less) / (up === null || down === null ? 1 : 2);
    if (more * less > 0) halves[input] = Math.max(Math.abs(more), Math.abs(less));
  }
  return { value, halves };
};

/** Probability that a standard normal value exceeds this: one half less the density times
 * z + z³/3 + z⁵/15 + …, Marsaglia 2004 (from memory). @param {number} z */
const tail = (z) => {
  if (Math.abs(z) > 7) return z < 0 ? 1 : 0;
  let [sum, term] = [z, z];
  for (let odd = 3; Math.abs(term) > 1e-17; odd += 2) sum += term *= (z * z) / odd;
  return 0.5 - (sum * Math.exp((-z * z) / 2)) / Math.sqrt(2 * Math.PI);
};

/** The decision rule of JCGM 106:2012, 8.3. @returns {Outcome}
 * @param {number} value @param {number} u @param {Limits} limits @param {number} enough */
const decide = (value, u, { low = -Infinity, high = Infinity }, enough) => {
  if (u <= 0) return low <= value && value <= high ? 'within' : 'outside';
  const within = 1 - tail((value - low) / u) - tail((high - value) / u);
  if (enough + EDGE <= within) return 'within';
  return within <= 1 - enough - EDGE ? 'outside' : 'too_close';
};

/** What was read and can be, a sentence for each point that can't, points whose table is too coarse to
 * say, and what contradicts the refrigerant on record. @param {Sheet} sheet @param {Numbers} readings */
export const cantBe = (sheet, readings) => {
  const read = /** @type {Numbers} */ ({});
  const words = /** @type {Record<string, string>} */ ({});
  const unsure = new Set();
  for (const [key, value] of Object.entries(readings)) {
    if (!(key in sheet.points && Number.isFinite(value))) continue;
    const { low, high, unit } = sheet.points[key];
    if (low <= value && value <= high) read[key] = value;
    else words[key] = `${value} ${unit} can’t be: ${low} to ${high} is accepted.`;
  }
  const over = (/** @type {Term} */ term) => work(sheet, read, term) ?? -Infinity;
  for (const { term, edge, points, words: sentence } of sheet.impossible) {
    for (const key of points) {
      if (edge < over(term)) words[key] = sentence;
      else if (-edge < over(term)) unsure.add(key);
    }
  }
  const { psi } = sheet.tables.dew;
  const apart = read.liquid_pressure_psig + psi - (read.suction_pressure_psig + psi);
  const doubts = sheet.pressures_apart_psi <= apart ? sheet.contradictions : [];
  const doubt = doubts.find((/** @type {any} */ it) => it.over < over(it.term));
  return { read, words, unsure, doubt };
};

/** A value beside its limits, with more decimals where it looks like a limit that it isn't within.
 * @param {Measure} m @param {Outcome} outcome @param {number} value @param {Limits} limits */
const told = ({ shown: [offset, factor] = [0, 1], decimals, unit, allowed }, outcome, value, limits) => {
  const plain = (/** @type {number} */ it, more = 0) =>
    (offset + factor * it).toFixed(decimals + more).replace(/^-(0\.?0*)$/, '$1');
  const ends = [limits.low ?? [], limits.high ?? []].flat();
  const tries = outcome === 'within' ? [] : [0, 1, 2, 3];
  const apart = tries.find((more) => ends.every((it) => plain(it, more) !== plain(value, more)));
  const close = outcome === 'too_close' ? ' is too close to call' : '';
  const band = allowed || ends.map((it) => plain(it)).join(' to ');
  return `${plain(value, apart)}${unit && ` ${unit}`}${close}; ${band} is allowed.`;
};

/** One measure; nothing where nothing is to be said of it. @returns {Verdict | null}
 * @param {{sheet: Sheet, ticks: Set<string>, minutes: Numbers} & ReturnType<typeof cantBe>} day
 * @param {Measure} m */
const verdict = ({ sheet, ticks, minutes, read, words, unsure, doubt }, m) => {
  const { instead, ...rules } = sheet.procedures[m.procedure];
  const has = (/** @type {string} */ key) => key in read;
  const waits = (/** @type {string} */ key) => ticks.has(`after_repair.${key}`);
  const way = m.ways.find((it) => it.points.every(has)) ?? m.ways[0];
  const own = way?.points ?? m.points ?? [];
  const isSet = (/** @type {string} */ it) => has(it) && !waits(it);
  const leads = m.network_with?.find(({ all, unless }) => all.every(has) && !(unless && isSet(unless)));
  if (m.only_with && !m.only_with.some((it) => it.every(has))) return null;
  // As left it is spoken of where something of it was read, or what stands in for it.
  if (ticks.has('as_left') && !own.some(has) && !(leads?.unless && own.includes(leads.unless))) return null;
  const points = [...new Set([...own, ...(m.around?.points ?? [])])];
  const { measure, label } = m;
  const field = m.ways.indexOf(way) > 0 ? own[own.length - 1] : m.field;
  /** @param {Outcome} outcome @param {string} words @param {number | null} value @returns {Verdict} */
  const say = (outcome, words, value = null) => ({ measure, label, outcome, value, words, field });
  const invalid = (/** @type {string} */ words) => say('not_valid', words);
  const network = say('needs_network', 'This is judged with network.');

  const { outdoor_db_f: outdoor, return_db_f: indoors, settled_min: settled } = read;
  if (rules.warm && outdoor < sheet.outdoor_lowest_f)
    return invalid(`${outdoor} °F outdoors, at least ${sheet.outdoor_lowest_f} is needed${instead}.`);
  if (rules.refrigerant && doubt)
    return doubt.sure ? invalid('Readings contradict: make sure which refrigerant is inside.') : network;
  if ((m.network && own.some(has)) || leads) return network;
  if (m.network) return say('not_taken', 'Nothing of it was read yet.');
  const missing = [...points, ...(rules.warm ? ['outdoor_db_f'] : [])].filter((it) => !has(it));
  const labels = missing.map((it) => sheet.points[it].label).join(', ');
  if (m.lacks || labels) return say('not_taken', words[missing[0]] ?? `Missing: ${m.lacks ?? labels}.`);
  const [bad, late] = [points.find((it) => it in words), points.find(waits)];
  if (bad) return invalid(words[bad]);
  if (late) return invalid(`${sheet.points[late].label} waits for a repair; read it again after the repair.`);
  if (points.some((it) => unsure.has(it))) return network;
  const value = estimate(sheet, read, way);
  const target = m.around && estimate(sheet, read, m.around);
  const { unanswered } = (value && m.around) ?? m;
  if (!value || target === null) return invalid(`${label}: ${unanswered}.`);

  const isCarried = points.some((it) => ticks.has(`unchanged.${it}`));
  const spoiler = rules.spoiled_by.find((/** @type {string} */ it) =>
    ticks.has(`circumstance.${it}`) || (isCarried && ticks.has(`earlier.${it}`)) ||
    sheet.always.includes(it) || (it === 'strip_heat_on' && sheet.heat_amps_high < read.strip_heat_amps));
  const times = points.filter((it) => it in minutes).map((it) => minutes[it]);
  const unmet = [
    [m.never, m.never],
    [spoiler, `${sheet.remedies[spoiler]}${instead}.`],
    [rules.warm && settled < sheet.settled_shortest_min,
      `${settled} min of steady running, at least ${sheet.settled_shortest_min} are needed${instead}.`],
    [indoors < rules.return_low_f || rules.return_high_f < indoors,
      `Return air of ${indoors} °F is beyond what the method covers${instead}.`],
    [sheet.apart_longest_min < Math.max(...times) - Math.min(...times),
      `Read more than ${sheet.apart_longest_min} min apart; read them again together.`],
  ].find(([holds]) => holds);
  if (unmet) return invalid(unmet[1]);

  const { halves, value: centre } = target ?? { halves: /** @type {Numbers} */ ({}), value: 0 };
  const inputs = Object.keys({ ...halves, ...value.halves });
  const u = Math.hypot(...inputs.map((it) => (value.halves[it] ?? 0) - (halves[it] ?? 0)));
  const limits = m.around ? { low: centre - m.around.tolerance, high: centre + m.around.tolerance } : m;
  const outcome = decide(value.value, u, limits, sheet.within);
  const judged = say(outcome, told(m, outcome, value.value, limits), value.value);
  const isAlarm = m.hazard && outcome !== 'within';
  return isAlarm ? { ...judged, words: judged.words + m.caution, hazard: m.hazard } : judged;
};

/** What can be said of one stage, in the order of the sheet. Ticks are names of fields such as
 * `circumstance.panels_off`, and `after_repair.<point>`. @returns {Verdict[]}
 * @param {Sheet} sheet @param {Numbers} readings @param {string[]} ticks @param {Numbers} minutes */
export const judge = (sheet, readings, ticks, minutes) => {
  const day = { sheet, ticks: new Set(ticks), minutes, ...cantBe(sheet, readings) };
  return sheet.measures.flatMap((/** @type {Measure} */ it) => verdict(day, it) ?? []);
};

/** What to judge as left: its own readings, and those as found that `unchanged.<point>` ticks carry
 * over with what spoilt them then. @returns {Taken} @param {Taken} found @param {Taken} left */
export const asLeft = (found, left) => {
  const isCarried = (/** @type {string} */ key) =>
    left.ticks.includes(`unchanged.${key}`) && key in found.readings && !(key in left.readings);
  const carried = (/** @type {Numbers} */ all) =>
    Object.fromEntries(Object.entries(all).filter(([key]) => isCarried(key)));
  const point = (/** @type {string} */ tick) => tick.replace(/^(unchanged|after_repair)\./, '');
  const own = left.ticks.filter((it) => it.startsWith('unchanged.') === isCarried(point(it)));
  const then = found.ticks.map((it) => it.replace(/^circumstance\./, 'earlier.'));
  return {
    readings: { ...carried(found.readings), ...left.readings },
    minutes: { ...carried(found.minutes), ...left.minutes },
    ticks: ['as_left', ...own, ...then.filter((it) => it.startsWith('earlier.') || isCarried(point(it)))],
  };
};
