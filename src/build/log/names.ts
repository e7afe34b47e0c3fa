import type { LogChannelKey } from '../../match/log/types.ts';
import type { ColumnRole } from './types.ts';
import type { LogKind } from './units.ts';

/** What a road log can hold: kind, words, and the SI range of plausible readings (rpm for speeds). */
interface ChannelWords {
  readonly kind: LogKind;
  readonly title: string;
  readonly range: readonly [number, number];
  /** At least one reading lies above this, else the column is something else. */
  readonly reaches: number;
  /** Words of `TOKENS` that must all stand in the name, with the score of the name; '!' before a word that must not. */
  readonly names: Readonly<Record<string, number>>;
  /** Symbols that stand alone as a name, exactly as written. */
  readonly symbols: Readonly<Record<string, number>>;
}

const words = (
  kind: LogKind,
  title: string,
  range: readonly [number, number],
  reaches: number,
  names: ChannelWords['names'],
  symbols: Readonly<Record<string, number>> = {},
): ChannelWords => ({ kind, title, range, reaches, names, symbols });

/** The channels in the order in which screens list them. Ranges are of road vehicles; common practice, no source. */
export const CHANNELS: Readonly<Record<LogChannelKey | 'time', ChannelWords>> = {
  time: words('time', 'time', [0, Number.POSITIVE_INFINITY], Number.NEGATIVE_INFINITY, { time: 0.95 }, { t: 0.85 }),
  engineSpeed: words(
    'rotation',
    'engine speed',
    [0, 14_000],
    400,
    { 'engine speed': 1, 'rpm !turbo': 0.9, 'speed !turbo !road': 0.5 },
    { n: 0.85, N: 0.6, nmot: 0.95, n_mot: 0.95, rpm: 0.95, RPM: 0.95 },
  ),
  manifoldPressure: words(
    'pressure',
    'manifold pressure',
    [8e3, 600e3],
    60e3,
    {
      'manifold pressure': 1,
      map: 0.95,
      'boost pressure': 0.9,
      boost: 0.85,
      'charge pressure': 0.85,
      'intake pressure': 0.7,
      'pressure !ambient !exhaust': 0.4,
    },
    { p_m: 0.9, pm: 0.85, p_im: 0.95, pim: 0.9, p2: 0.6, P2: 0.6, p22: 0.8, MAP: 0.95 },
  ),
  shaftSpeed: words(
    'rotation',
    'shaft speed',
    [0, 400e3],
    12e3,
    { 'turbo speed': 1, 'shaft speed': 0.95, 'turbo rpm': 0.95, 'compressor speed': 0.85, turbo: 0.7 },
    { nT: 0.85, n_t: 0.8, ntc: 0.9, n_tc: 0.9, nTC: 0.9, N: 0.5, N1: 0.6 },
  ),
  secondShaftSpeed: words('rotation', 'second shaft speed', [0, 400e3], 12e3, { 'turbo speed two': 1 }, { N2: 0.6 }),
  chargeTemperature: words(
    'temperature',
    'charge temperature (manifold)',
    [230, 480],
    250,
    { 'manifold temperature': 1, 'charge temperature': 1, 'intake temperature': 0.6, 'boost temperature': 0.85 },
    { T_m: 0.9, Tm: 0.85, T_im: 0.95, IAT: 0.6, iat: 0.6, ACT: 0.85, MAT: 0.95, T2: 0.5 },
  ),
  compressorInletTemperature: words(
    'temperature',
    'temperature before the compressor',
    [230, 360],
    250,
    { 'compressor inlet temperature': 1, 'before compressor temperature': 1, 'intake temperature': 0.55 },
    { T1: 0.8, T01: 0.9, T_1: 0.8 },
  ),
  compressorInletPressure: words(
    'pressure',
    'pressure before the compressor',
    [50e3, 115e3],
    50e3,
    { 'compressor inlet pressure': 1, 'before compressor pressure': 1 },
    { p1: 0.8, p01: 0.9, P1: 0.8 },
  ),
  compressorOutletTemperature: words(
    'temperature',
    'temperature after the compressor',
    [230, 560],
    260,
    { 'compressor outlet temperature': 1, 'after compressor temperature': 1 },
    { T02: 0.9, T2: 0.55 },
  ),
  compressorOutletPressure: words(
    'pressure',
    'pressure after the compressor',
    [50e3, 700e3],
    70e3,
    { 'compressor outlet pressure': 1, 'after compressor pressure': 1 },
    { p02: 0.9, p2: 0.55, P2: 0.55 },
  ),
  ambientPressure: words(
    'pressure',
    'barometer',
    [50e3, 110e3],
    50e3,
    { 'ambient pressure': 1 },
    { p0: 0.85, p_amb: 0.95 },
  ),
  ambientTemperature: words(
    'temperature',
    'outside temperature',
    [225, 330],
    225,
    { 'ambient temperature': 1 },
    { T0: 0.85, T_amb: 0.95 },
  ),
  throttle: words(
    'share',
    'throttle',
    [-0.05, 1.1],
    0.02,
    { throttle: 0.95, pedal: 0.6 },
    { TPS: 0.95, tps: 0.95, TP: 0.75 },
  ),
  lambda: words('lambda', 'lambda', [0.4, 20], 0.5, { lambda: 0.95 }, { λ: 0.95, AFR: 0.9, afr: 0.9, 'A/F': 0.9 }),
  fuelMassFlow: words('fuel-flow', 'fuel flow', [0, 0.15], 1e-4, { 'fuel flow': 0.95, 'fuel mass': 0.6 }),
  airMassFlow: words(
    'air-flow',
    'air mass flow',
    [0, 2],
    1e-3,
    { 'air mass': 0.95, 'air flow': 0.85 },
    { MAF: 0.9, maf: 0.9 },
  ),
  wastegateDuty: words('share', 'wastegate duty', [-0.05, 1.1], Number.NEGATIVE_INFINITY, {
    'gate duty': 1,
    'boost duty': 0.9,
    gate: 0.7,
  }),
  turbineInletPressure: words(
    'pressure',
    'pressure before the turbine',
    [50e3, 1e6],
    60e3,
    {
      'turbine inlet pressure': 1,
      'before turbine pressure': 1,
      'exhaust manifold pressure': 1,
      'exhaust pressure': 0.75,
    },
    { p3: 0.85, p03: 0.9, P3: 0.85, EMAP: 0.95, EBP: 0.7 },
  ),
  turbineInletTemperature: words(
    'temperature',
    'temperature before the turbine',
    [240, 1500],
    300,
    { 'turbine inlet temperature': 1, 'before turbine temperature': 1, 'exhaust temperature': 0.85 },
    { T3: 0.85, T03: 0.9, EGT: 0.85, egt: 0.85 },
  ),
  brakePower: words('power', 'power', [-50e3, 2e6], 5e3, { power: 0.9 }, { P: 0.6, P_e: 0.8 }),
  vehicleSpeed: words('road-speed', 'road speed', [0, 130], 0.5, { 'road speed': 1 }, { VSS: 0.95, v: 0.7 }),
};

/**
 * Words of names in English, German, French and Spanish, without accents and in small letters, each with the token it means. They are
 * looked for in this order, also inside compounds ('ladelufttemperatur'), and each is taken out when it is found.
 */
const TOKENS: readonly (readonly [token: string, spelled: RegExp])[] = [
  ['intake temperature', /\biat\b/],
  ['exhaust temperature', /\begt\b/],
  ['air mass', /\bmaf\b|luft ?masse\w*|air ?mass|mass ?air ?flow|masse d'air|masa de aire/],
  ['road speed', /\bvss\b/],
  ['ambient pressure', /baro\w*/],
  [
    'target',
    /target|desired|set ?point|soll|consigne|objetivo|request\w*|demand\w*|error|correction|limit\w*|delta|diff\w*/,
  ],
  ['time', /time ?stamp|\btime\b|\belapsed\b|zeit\w*|\btemps\b|tiempo|\bsec(onds?)?\b|laufzeit/],
  ['road', /vehicle|road|fahrzeug|fahr(?=geschw)|vehicule|vehiculo|wheel|\bgps\b/],
  ['gate', /waste ?gate|\bwg(dc)?\b|bypass ?ventil|soupape de decharge|valvula de descarga/],
  ['before turbine', /(before|pre|vor|avant|antes de( la)?|upstream( of)?)[ _-]*turbine?/],
  ['turbine', /turbine?\b/],
  [
    'after compressor',
    /(after|post|nach|apres|despues del?|downstream( of)?)( le)?[ _-]*(compressor|verdichter|compresseur|compresor|turbo(lader)?)/,
  ],
  [
    'before compressor',
    /(before|pre|vor|avant|antes del?|upstream( of)?)( le)?[ _-]*(compressor|verdichter|compresseur|compresor|turbo(lader)?)/,
  ],
  ['compressor', /compressor|verdichter|compresseur|compresor/],
  ['inlet', /inlet|\bin\b|eintritt|entree|entrada/],
  ['outlet', /outlet|\bout\b|discharge|austritt|sortie|salida/],
  ['manifold', /manifold|saugrohr|collecteur|colector|\bintake ?manifold/],
  ['charge', /ladeluft|charge( ?air)?|inter ?cooler|aire de sobrealimentacion|air suralimente|\bcac\b/],
  ['turbo', /turbo ?(charger|lader|compresseur|compresor)?|lader(?=dreh)|\btc\b/],
  ['boost', /boost|lade(?=druck)|suralimentation|sobrealimentacion|soplado/],
  ['shaft', /shaft|welle\b|\barbre|\beje\b/],
  ['ambient', /ambient|umgebung(s)?|aussen|atmos\w*|exterieur\w*|outside|exterior|outdoor/],
  ['exhaust', /exhaust|abgas(gegen)?|echappement|escape/],
  ['throttle', /throttle|drosselklappe\w*|papillon|mariposa|\btps\b/],
  ['pedal', /pedal|accelerator|gaspedal|fahrpedal|accelerateur|acelerador/],
  ['lambda', /lambda|\bafr\b|\ba ?\/ ?f\b|air ?\/? ?fuel ?ratio|equivalence/],
  ['fuel', /fuel|kraftstoff|carburant|combustible|essence/],
  ['duty', /duty|tastverhaltnis|taux|ciclo|\bdc\b/],
  ['map', /\bmap\b/],
  ['engine', /engine|\beng\b|motor|moteur|crank\w*|kurbelwelle\w*|vilebrequin/],
  ['air', /\bair\b|luft/],
  ['intake', /intake( ?air)?|ansaug(luft)?|admission|admision/],
  ['temperature', /temperatur\w*|temp\b|temper?\w*/],
  ['pressure', /pressure|druck|pression|presion|press\b/],
  ['rpm', /\brpm\b/],
  ['speed', /speed|\bspd\b|drehzahl|regime|vitesse|geschwindigkeit|revoluciones|velocidad|regimen|\brev(s)?\b/],
  ['mass', /mass(e)?|masa/],
  ['flow', /flow|durchfluss|debit|caudal|strom\b|verbrauch|rate\b/],
  ['power', /power|leistung|puissance|potencia/],
  ['two', /\b(2|two|b|rechts|right|ii)\b/],
];
/** Tokens that a name may hold beside those asked for without becoming less sure. */
const HARMLESS = new Set(['air', 'rpm', 'mass', 'map', 'two']);

/** The tokens of a name, in no order. */
export function tokensOf(name: string): Set<string> {
  let text = name
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[_.:;()[\]{}#-]+/g, ' ')
    // 'iat2' is the second of its kind.
    .replace(/([a-z]{2})(\d)/g, '$1 $2');
  const found = new Set<string>();
  for (const [token, spelled] of TOKENS) {
    const rest = text.replace(spelled, ' ');
    if (rest === text) continue;
    for (const word of token.split(' ')) found.add(word);
    text = rest;
  }
  if (found.has('rpm')) found.add('speed');
  return found;
}

/** How well a name alone fits each role, best first; only those above 0. A unit of `kind` says what its name may leave out: 'Exhaust (°C)'. */
export function scoreName(name: string, kind?: LogKind): { role: Exclude<ColumnRole, 'unused'>; score: number }[] {
  const bare = name.trim();
  const tokens = tokensOf(bare);
  if (kind === 'temperature' || (kind === 'pressure' && tokens.size > 0)) tokens.add(kind);
  const scores = (Object.keys(CHANNELS) as Exclude<ColumnRole, 'unused'>[]).map((role) => {
    const { names, symbols } = CHANNELS[role];
    let score = symbols[bare] ?? 0;
    for (const [phrase, full] of Object.entries(names)) {
      const asked = phrase.split(' ');
      const needed = asked.filter((word) => !word.startsWith('!'));
      if (!needed.every((word) => tokens.has(word))) continue;
      if (asked.some((word) => word.startsWith('!') && tokens.has(word.slice(1)))) continue;
      const others = [...tokens].filter((token) => !needed.includes(token) && !HARMLESS.has(token));
      const stray = others.includes('target') ? 0.45 : Math.min(0.12 * others.length, 0.5);
      score = Math.max(score, full - stray);
    }
    return { role, score };
  });
  return scores.filter(({ score }) => score > 0).sort((a, b) => b.score - a.score);
}
