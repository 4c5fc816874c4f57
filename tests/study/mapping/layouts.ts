import { createRequire } from "node:module";

const book = createRequire(import.meta.url)("xlsx");

/** One trial of the invented study that every layout tells again. */
export interface Trial {
  golfer: string;
  visit: "w0" | "w6";
  hand: "lead" | "trail";
  position: "address" | "seated";
  trial: number;
  kgf: number;
}
export interface Swing {
  golfer: string;
  visit: "w0" | "w6";
  swing: number;
  mph: number;
}
interface Golfer {
  code: string;
  arm: "grip" | "swing";
  sex: "female" | "male";
  age: number;
  plays: "right" | "left";
  cm: number;
  kg: number;
}

export const golfers: Golfer[] = [
  { code: "G01", arm: "grip", sex: "female", age: 34, plays: "right", cm: 168, kg: 62 },
  { code: "G02", arm: "swing", sex: "male", age: 45, plays: "left", cm: 181, kg: 84 },
  { code: "G03", arm: "grip", sex: "male", age: 29, plays: "right", cm: 178, kg: 77 },
  { code: "G04", arm: "swing", sex: "female", age: 51, plays: "right", cm: 165, kg: 66 },
];
const visits = ["w0", "w6"] as const;
const days = { w0: [2025, 1, 27], w6: [2025, 3, 14] } as const;

export const trials: Trial[] = golfers.flatMap(({ code, sex }, g) =>
  visits.flatMap((visit, v) =>
    (["lead", "trail"] as const).flatMap((hand, h) =>
      (["address", "seated"] as const).flatMap((position, p) =>
        [1, 2].map((trial) => ({
          golfer: code,
          visit,
          hand,
          position,
          trial,
          kgf: (sex === "male" ? 46 : 30) + g + 1.5 * v + 1.25 * h - 2.5 * p + 0.5 * trial,
        })),
      ),
    ),
  ),
);
export const swings: Swing[] = golfers.flatMap(({ code, sex }, g) =>
  visits.flatMap((visit, v) =>
    [1, 2, 3].map((swing) => ({
      golfer: code,
      visit,
      swing,
      mph: (sex === "male" ? 95 : 78) + g + v + 0.5 * swing,
    })),
  ),
);

/** The study into which the files come: two arms, two visits, two positions, one club. */
export const study = {
  name: "invented",
  title: "Invented study (simulated)",
  resources: [{ name: "participants", path: "participants.csv" }] as Record<string, unknown>[],
  study: {
    title: "Invented study (simulated)",
    simulated: true,
    arms: [
      { id: "grip", title: "Grip block" },
      { id: "swing", title: "Swing practice", control: true },
    ],
    occasions: [
      { id: "w0", week: 0, title: "Week 0" },
      { id: "w6", week: 6, title: "Week 6" },
    ],
    positions: [{ id: "address" }, { id: "seated" }],
    clubs: ["driver"],
    gripTrials: 2,
    swings: 3,
    plan: { summaries: { grip: "mean2", speed: "mean" }, level: 0.95, seed: 1 },
  },
};
export const golfersFile = `participant,arm,sex,age_years,plays\n${golfers
  .map(({ code, arm, sex, age, plays }) => [code, arm, sex, age, plays].join(","))
  .join("\n")}\n`;

type Cell = string | number;
type Table = Cell[][];
export interface Layout {
  name: string;
  /** Files by their path. */
  files: Record<string, string | Uint8Array>;
  /** The participants are among the files and not in the study yet. */
  people?: boolean;
  /** What the files hold. */
  has: { grip?: boolean; swings?: boolean };
  /** Something in the files can only be asked. */
  asks?: boolean;
}

interface Look {
  delimiter?: string;
  decimal?: "," | ".";
  above?: string[];
  below?: string[];
  encoding?: "utf-16" | "bom" | "latin";
}

function shown(cell: Cell, decimal: string): string {
  return typeof cell === "number" ? String(cell).replace(".", decimal) : cell;
}

/** A table as delimited text. */
export function csv(table: Table, look: Look = {}): Uint8Array {
  const { delimiter = ",", decimal = ".", above = [], below = [], encoding } = look;
  const quote = (text: string) =>
    text.includes(delimiter) || text.includes('"') ? `"${text.replaceAll('"', '""')}"` : text;
  const lines = table.map((row) => row.map((cell) => quote(shown(cell, decimal))).join(delimiter));
  const text = `${[...above, ...lines, ...below].join("\r\n")}\r\n`;
  if (encoding === "utf-16")
    return new Uint8Array(Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(text, "utf16le")]));
  if (encoding === "latin") return new Uint8Array(Buffer.from(text, "latin1"));
  return new Uint8Array(Buffer.from(encoding === "bom" ? `\ufeff${text}` : text));
}

/** Tables as the sheets of a workbook. */
export function workbook(sheets: Record<string, Table>): Uint8Array {
  const whole = book.utils.book_new();
  for (const [name, table] of Object.entries(sheets))
    book.utils.book_append_sheet(whole, book.utils.aoa_to_sheet(table), name);
  return new Uint8Array(book.write(whole, { type: "array", bookType: "xlsx" }));
}

const two = (n: number) => String(n).padStart(2, "0");
const written = {
  iso: ([y, m, d]: readonly number[]) => `${y}-${two(m!)}-${two(d!)}`,
  dots: ([y, m, d]: readonly number[]) => `${two(d!)}.${two(m!)}.${y}`,
  us: ([y, m, d]: readonly number[]) => `${m}/${d}/${y}`,
  uk: ([y, m, d]: readonly number[]) => `${two(d!)}/${two(m!)}/${y}`,
  short: ([y, m, d]: readonly number[]) => `${two(d!)}.${two(m!)}.${String(y).slice(2)}`,
};

const sideOf = (golfer: string, hand: "lead" | "trail") => {
  const right = golfers.find(({ code }) => code === golfer)?.plays === "right";
  return right === (hand === "lead") ? "left" : "right";
};

interface Long {
  heads: string[];
  visit: Record<string, string>;
  hand: Record<string, string>;
  position: Record<string, string>;
  factor?: number;
  digits?: number;
  date?: keyof typeof written;
  more?: (t: Trial) => Cell[];
}

/** One row per squeeze: golfer, visit, date, hand, position, trial, force and what comes more. */
export function longGrip(
  { heads, visit, hand, position, factor = 1, digits = 3, date, more }: Long,
  of: readonly Trial[] = trials,
): Table {
  const rows = of.map((t) => [
    t.golfer,
    visit[t.visit]!,
    ...(date ? [written[date](days[t.visit])] : []),
    hand[t.hand] ?? hand[sideOf(t.golfer, t.hand)]!,
    position[t.position]!,
    t.trial,
    Number((t.kgf * factor).toFixed(digits)),
    ...(more?.(t) ?? []),
  ]);
  return [heads, ...rows];
}

/** One row per swing: golfer, visit, club, swing, speed. */
export function longSwings(
  heads: string[],
  visit: Record<string, string>,
  {
    club = "Driver",
    factor = 1,
    of = swings,
  }: { club?: string; factor?: number; of?: readonly Swing[] } = {},
): Table {
  return [
    heads,
    ...of.map((s) => [
      s.golfer,
      visit[s.visit]!,
      club,
      s.swing,
      Number((s.mph * factor).toFixed(4)),
    ]),
  ];
}

/** One row per golfer, or per golfer and visit, with trials side by side. */
export function wideGrip(
  ids: (golfer: string, visit: "w0" | "w6") => Cell[],
  heads: string[],
  head: (t: Trial) => string,
  {
    byVisit = true,
    factor = 1,
    of = trials,
  }: { byVisit?: boolean; factor?: number; of?: readonly Trial[] } = {},
): Table {
  const names = [...new Set(of.map(head))];
  const keys = [...new Set(of.map((t) => `${t.golfer} ${byVisit ? t.visit : ""}`))];
  const rows = keys.map((key) => {
    const own = of.filter((t) => `${t.golfer} ${byVisit ? t.visit : ""}` === key);
    const [first] = own;
    return [
      ...ids(first!.golfer, first!.visit),
      ...names.map((name) => Number((own.find((t) => head(t) === name)!.kgf * factor).toFixed(3))),
    ];
  });
  return [[...heads, ...names], ...rows];
}

const prePost = { w0: "Pre", w6: "Post" };
const t12 = { w0: "T1", w6: "T2" };
const same = { w0: "w0", w6: "w6" };
const LR = { left: "L", right: "R" };
const words = { lead: "lead", trail: "trail" };
const plain = { address: "address", seated: "seated" };
const german = { address: "Ansprechposition", seated: "sitzend" };
const of = (visit: string) => trials.filter((t) => t.visit === visit);
const sum = { grip: true };
const id = (golfer: string) => [golfer];

export const layouts: Layout[] = [
  {
    name: "English, comma, our own words",
    has: sum,
    files: {
      "grip.csv": csv(
        longGrip({
          heads: ["Participant", "Visit", "Hand", "Position", "Trial", "Grip (kg)"],
          visit: same,
          hand: words,
          position: plain,
        }),
      ),
    },
  },
  {
    name: "English, Pre and Post, L and R, pounds in brackets",
    has: sum,
    files: {
      "grip export.csv": csv(
        longGrip({
          heads: ["Player ID", "Session", "Side", "Posture", "Attempt", "Peak force [lbs]"],
          visit: prePost,
          hand: LR,
          position: { address: "Address", seated: "Sitting" },
          factor: 1 / 0.45359237,
          digits: 8,
        }),
      ),
    },
  },
  {
    name: "newtons, month before day",
    has: sum,
    files: {
      "g.csv": csv(
        longGrip({
          heads: ["Subject", "Time point", "Date", "Hand", "Position", "Rep", "Force_N"],
          visit: t12,
          hand: { left: "Left", right: "Right" },
          position: plain,
          factor: 9.80665,
          digits: 6,
          date: "us",
        }),
      ),
    },
  },
  {
    name: "German, semicolon, decimal comma, Li and Re, dots",
    has: sum,
    files: {
      "Griffkraft.csv": csv(
        longGrip({
          heads: [
            "Proband",
            "Messzeitpunkt",
            "Datum",
            "Hand",
            "Haltung",
            "Versuch",
            "Griffkraft (kg)",
          ],
          visit: { w0: "Vorher", w6: "Nachher" },
          hand: { left: "Li", right: "Re" },
          position: german,
          date: "dots",
        }),
        { delimiter: ";", decimal: "," },
      ),
    },
  },
  {
    name: "German, Latin-1, accents",
    has: sum,
    files: {
      "messung.csv": csv(
        longGrip({
          heads: ["Kürzel", "Termin", "Seite", "Körperhaltung", "Durchgang", "Handkraft [N]"],
          visit: { w0: "T1", w6: "T2" },
          hand: { left: "links", right: "rechts" },
          position: german,
          factor: 9.80665,
          digits: 6,
        }),
        { delimiter: ";", decimal: ",", encoding: "latin" },
      ),
    },
  },
  {
    name: "French, tab, decimal comma, G and D",
    has: sum,
    files: {
      "prehension.txt": csv(
        longGrip({
          heads: [
            "Joueur",
            "Visite",
            "Date",
            "Main",
            "Posture",
            "Essai",
            "Force de préhension (kg)",
          ],
          visit: { w0: "Avant", w6: "Après" },
          hand: { left: "G", right: "D" },
          position: { address: "adresse", seated: "assis" },
          date: "uk",
        }),
        { delimiter: "\t", decimal: "," },
      ),
    },
  },
  {
    name: "Spanish, semicolon, words",
    has: sum,
    files: {
      "agarre.csv": csv(
        longGrip({
          heads: ["Jugador", "Visita", "Mano", "Postura", "Intento", "Fuerza de agarre (kg)"],
          visit: { w0: "Antes", w6: "Después" },
          hand: { left: "Izquierda", right: "Derecha" },
          position: { address: "address", seated: "sentado" },
        }),
        { delimiter: ";", decimal: "," },
      ),
    },
  },
  {
    name: "UTF-16 with a mark, tabs",
    has: sum,
    files: {
      "grip.txt": csv(
        longGrip({
          heads: ["Golfer", "Visit", "Hand", "Position", "Trial", "Force (kgf)"],
          visit: { w0: "Week 0", w6: "Week 6" },
          hand: words,
          position: plain,
        }),
        { delimiter: "\t", encoding: "utf-16" },
      ),
    },
  },
  {
    name: "byte-order mark, weeks as numbers",
    has: sum,
    files: {
      "grip.csv": csv(
        longGrip({
          heads: ["id", "week", "hand", "position", "trial", "force_kgf"],
          visit: { w0: "0", w6: "6" },
          hand: words,
          position: plain,
        }),
        { encoding: "bom" },
      ),
    },
  },
  {
    name: "title rows above, means below",
    has: sum,
    files: {
      "export.csv": csv(
        longGrip({
          heads: ["Player", "Visit", "Hand", "Position", "Trial", "Grip strength (kg)"],
          visit: prePost,
          hand: LR,
          position: plain,
        }),
        {
          above: ["Grip test export", "Lab: North;Tester: A", ""],
          below: ["Mean,,,,,38.1", "SD,,,,,7.2"],
        },
      ),
    },
  },
  {
    name: "a line about the export below",
    has: sum,
    files: {
      "export.csv": csv(
        longGrip({
          heads: ["Player", "Visit", "Hand", "Position", "Trial", "Grip strength (kg)"],
          visit: prePost,
          hand: LR,
          position: plain,
        }),
        { delimiter: ";", below: ["", "Exported on 14.03.2025 by device 4"] },
      ),
    },
  },
  {
    name: "wide: Lead address 1",
    has: sum,
    files: {
      "wide.csv": csv(
        wideGrip(
          (g, v) => [g, prePost[v]],
          ["Player", "Visit"],
          (t) => `${t.hand === "lead" ? "Lead" : "Trail"} ${t.position} ${t.trial}`,
        ),
        { above: ["Grip (kg)", ""] },
      ),
    },
  },
  {
    name: "wide with units in headings",
    has: sum,
    files: {
      "wide.csv": csv(
        wideGrip(
          (g, v) => [g, prePost[v]],
          ["Player", "Visit"],
          (t) => `${t.hand}_${t.position}_${t.trial} (lbs)`,
          { factor: 1 / 0.45359237 },
        ),
      ),
    },
  },
  {
    name: "wide: one row per golfer, visits in headings",
    has: sum,
    files: {
      "all.csv": csv(
        wideGrip(
          id,
          ["Golfer"],
          (t) => `${prePost[t.visit]} ${t.hand} ${t.position} ${t.trial} [kg]`,
          { byVisit: false },
        ),
      ),
    },
  },
  {
    name: "wide: L and R, T1 and T2",
    has: sum,
    files: {
      "all.csv": csv(
        wideGrip(
          id,
          ["Subject"],
          (t) => `${t12[t.visit]}_${LR[sideOf(t.golfer, t.hand)]}_${t.position}_${t.trial}`,
          { byVisit: false, of: trials },
        ),
        { above: ["Force (kg),,"] },
      ),
    },
  },
  {
    name: "wide German: Versuch 1 and 2",
    has: sum,
    files: { "griffkraft.csv": csv(versuche(), { delimiter: ";", decimal: "," }) },
  },
  {
    name: "a file per visit, visit in the name",
    has: sum,
    files: Object.fromEntries(
      visits.map((v) => [
        `grip_${prePost[v].toLowerCase()}.csv`,
        csv(
          longGrip(
            {
              heads: ["Player", "X", "Hand", "Position", "Trial", "Grip (kg)"],
              visit: { w0: "", w6: "" },
              hand: LR,
              position: plain,
            },
            of(v),
          ),
        ),
      ]),
    ),
  },
  {
    name: "a sheet per visit",
    has: sum,
    files: {
      "grip.xlsx": workbook(
        Object.fromEntries(
          visits.map((v) => [
            prePost[v],
            longGrip(
              {
                heads: ["Player", "X", "Hand", "Position", "Trial", "Grip (kg)"],
                visit: { w0: "", w6: "" },
                hand: LR,
                position: plain,
              },
              of(v),
            ),
          ]),
        ),
      ),
    },
  },
  {
    name: "a workbook with one sheet and a title",
    has: sum,
    files: {
      "grip.xlsx": workbook({
        Data: [
          ["Grip tests 2025"],
          [],
          ...longGrip({
            heads: ["Player", "Visit", "Hand", "Position", "Trial", "Grip (kg)"],
            visit: prePost,
            hand: LR,
            position: plain,
          }),
        ],
      }),
    },
  },
  {
    name: "a file per golfer, code in the name",
    has: sum,
    files: Object.fromEntries(
      golfers.map(({ code }) => [
        `golfers/${code}.csv`,
        csv(
          longGrip(
            {
              heads: ["X", "Visit", "Hand", "Position", "Trial", "Grip (kg)"],
              visit: prePost,
              hand: words,
              position: plain,
            },
            trials.filter((t) => t.golfer === code),
          ).map((row) => row.slice(1)),
        ),
      ]),
    ),
  },
  {
    name: "a file per golfer and visit",
    has: sum,
    files: Object.fromEntries(
      golfers.flatMap(({ code }) =>
        visits.map((v) => [
          `raw/${code}_${prePost[v]}.csv`,
          csv(
            longGrip(
              {
                heads: ["X", "Y", "Hand", "Position", "Trial", "Grip (kg)"],
                visit: prePost,
                hand: words,
                position: plain,
              },
              of(v).filter((t) => t.golfer === code),
            ).map((row) => row.slice(2)),
          ),
        ]),
      ),
    ),
  },
  {
    name: "swings, mph",
    has: { swings: true },
    files: {
      "swings.csv": csv(
        longSwings(["Player", "Visit", "Club", "Swing", "Club head speed (mph)"], prePost),
      ),
    },
  },
  {
    name: "swings in German, km/h",
    has: { swings: true },
    files: {
      "schwung.csv": csv(
        longSwings(
          ["Spieler", "Zeitpunkt", "Schläger", "Schwung", "Schlägerkopfgeschwindigkeit [km/h]"],
          { w0: "vor", w6: "nach" },
          { factor: 1.609344 },
        ),
        { delimiter: ";", decimal: "," },
      ),
    },
  },
  {
    name: "swings in French, m/s, ball speed beside",
    has: { swings: true },
    files: {
      "vitesse.csv": csv(
        longSwings(
          ["Joueur", "Séance", "Club", "Coup", "Vitesse de tête de club (m/s)"],
          { w0: "S1", w6: "S2" },
          { factor: 0.44704 },
        ).map((row, i) => [...row, i ? 60 + i : "Vitesse de balle (m/s)"]),
        { delimiter: ";", decimal: "," },
      ),
    },
  },
  {
    name: "swings without a unit, as m/s",
    has: { swings: true },
    files: {
      "chs.csv": csv(
        longSwings(["id", "visit", "club", "swing", "chs"], same, {
          factor: 0.44704,
          club: "driver",
        }),
      ),
    },
  },
  { name: "swings side by side", has: { swings: true }, files: { "chs.csv": csv(wideSwings()) } },
  {
    name: "swings without a club and a number",
    has: { swings: true },
    files: {
      "swing speed.csv": csv(
        longSwings(["Player", "Visit", "", "", "Swing speed (mph)"], prePost).map((row) => [
          row[0]!,
          row[1]!,
          row[4]!,
        ]),
      ),
    },
  },
  {
    name: "squeezes without a number",
    has: sum,
    files: {
      "grip.csv": csv(
        longGrip({
          heads: ["Player", "Visit", "Hand", "Position", "n", "Grip (kg)"],
          visit: prePost,
          hand: LR,
          position: plain,
        }).map((row) => row.filter((_, c) => c !== 4)),
      ),
    },
  },
  {
    name: "trials called Trial 1, Trial 2",
    has: sum,
    files: {
      "grip.csv": csv(
        longGrip({
          heads: ["Player", "Visit", "Hand", "Position", "Attempt", "Grip (kg)"],
          visit: prePost,
          hand: LR,
          position: plain,
        }).map((row, i) => (i ? row.map((cell, c) => (c === 4 ? `Trial ${cell}` : cell)) : row)),
      ),
    },
  },
  {
    name: "participants in pounds and inches",
    people: true,
    has: sum,
    files: {
      "people.csv": csv([
        ["Player", "Group", "Gender", "Age", "Plays", "Height (in)", "Weight (lbs)"],
        ...golfers.map((g) => [
          g.code,
          g.arm,
          g.sex[0]!.toUpperCase(),
          g.age,
          g.plays[0]!.toUpperCase(),
          Number((g.cm / 2.54).toFixed(6)),
          Number((g.kg / 0.45359237).toFixed(6)),
        ]),
      ]),
      "grip.csv": csv(
        longGrip({
          heads: ["Player", "Visit", "Hand", "Position", "Trial", "Grip (kg)"],
          visit: prePost,
          hand: LR,
          position: plain,
        }),
      ),
    },
  },
  {
    name: "participants in German",
    people: true,
    has: sum,
    files: {
      "Teilnehmer.csv": csv(
        [
          ["Kürzel", "Gruppe", "Geschlecht", "Alter", "Spielt", "Größe (cm)", "Gewicht (kg)"],
          ...golfers.map((g) => [
            g.code,
            g.arm === "grip" ? "Grip block" : "Kontrolle",
            g.sex === "female" ? "w" : "m",
            g.age,
            g.plays === "right" ? "rechts" : "links",
            g.cm,
            g.kg,
          ]),
        ],
        { delimiter: ";", decimal: "," },
      ),
      "Kraft.csv": csv(
        longGrip({
          heads: ["Kürzel", "Zeitpunkt", "Hand", "Position", "Versuch", "Kraft (kg)"],
          visit: { w0: "Vortest", w6: "Nachtest" },
          hand: { left: "L", right: "R" },
          position: german,
        }),
        { delimiter: ";", decimal: "," },
      ),
    },
  },
  {
    name: "golfers and trials in one wide sheet",
    people: true,
    has: sum,
    files: {
      "all.xlsx": workbook({
        Sheet1: wideGrip(
          (g) => {
            const one = golfers.find(({ code }) => code === g)!;
            return [g, one.arm, one.sex, one.age, one.plays];
          },
          ["Golfer", "Arm", "Sex", "Age (years)", "Plays"],
          (t) => `${prePost[t.visit]} ${t.hand} ${t.position} ${t.trial} (kg)`,
          { byVisit: false },
        ),
      }),
    },
  },
  {
    name: "squeezes and swings in one file, told apart by a column",
    has: { grip: true, swings: true },
    files: { "tests.csv": csv(mixed()) },
  },
  {
    name: "grip and speed in two files",
    has: { grip: true, swings: true },
    files: {
      "grip.csv": csv(
        longGrip({
          heads: ["Player", "Visit", "Date", "Hand", "Position", "Trial", "Grip (kg)"],
          visit: prePost,
          hand: LR,
          position: plain,
          date: "short",
        }),
      ),
      "speed.csv": csv(longSwings(["Player", "Visit", "Club", "Shot", "Speed (mph)"], prePost)),
    },
  },
  {
    name: "merged cells: golfer only in the first row",
    has: sum,
    files: { "grip.xlsx": workbook({ Grip: merged() }) },
  },
  {
    name: "two rows of headings",
    has: sum,
    files: { "grip.csv": csv(twoRows(), { above: ["Grip (kg)"] }) },
  },
  {
    name: "our dictionary's own columns under another file name",
    has: sum,
    files: {
      "tester A.csv": csv([
        ["participant", "occasion", "hand", "position", "trial", "force", "unit", "status"],
        ...trials.map((t) => [
          t.golfer,
          t.visit,
          t.hand,
          t.position,
          t.trial,
          t.kgf,
          "kgf",
          "valid",
        ]),
      ]),
    },
  },
  {
    name: "a unit column with kg",
    has: sum,
    files: {
      "grip.csv": csv(
        longGrip({
          heads: ["Player", "Visit", "Hand", "Position", "Trial", "Result", "Unit"],
          visit: prePost,
          hand: LR,
          position: plain,
          more: () => ["kg"],
        }),
      ),
    },
  },
  {
    name: "pipes, a status column and notes",
    has: sum,
    files: {
      "grip.csv": csv(
        longGrip({
          heads: ["Player", "Visit", "Hand", "Position", "Trial", "Grip (kg)", "Status", "Notes"],
          visit: prePost,
          hand: LR,
          position: plain,
          more: (t) => ["OK", t.trial === 1 ? "fine" : ""],
        }),
        { delimiter: "|" },
      ),
    },
  },
  {
    name: "Italian, S and D, decimal comma",
    has: sum,
    files: {
      "presa.csv": csv(
        longGrip({
          heads: ["Codice", "Visita", "Data", "Mano", "Posizione", "Prova", "Forza (kg)"],
          visit: { w0: "Prima", w6: "Dopo" },
          hand: { left: "S", right: "D" },
          position: { address: "Address", seated: "Seduto" },
          date: "uk",
        }),
        { delimiter: ";", decimal: "," },
      ),
    },
  },
  {
    name: "Portuguese, E and D, newtons",
    has: sum,
    files: {
      "preensao.csv": csv(
        longGrip({
          heads: ["Atleta", "Momento", "Mão", "Posição", "Tentativa", "Preensão (N)"],
          visit: { w0: "Pré", w6: "Pós" },
          hand: { left: "E", right: "D" },
          position: { address: "Address", seated: "Sentado" },
          factor: 9.80665,
          digits: 5,
        }),
        { delimiter: ";", decimal: "," },
      ),
    },
  },
  {
    name: "Swedish, words",
    has: sum,
    files: {
      "greppstyrka.csv": csv(
        longGrip({
          heads: ["Spelare", "Besök", "Datum", "Hand", "Läge", "Försök", "Greppstyrka (kg)"],
          visit: { w0: "Före", w6: "Efter" },
          hand: { left: "Vänster", right: "Höger" },
          position: { address: "Address", seated: "Sittande" },
          date: "iso",
        }),
        { delimiter: ";", decimal: "," },
      ),
    },
  },
  {
    name: "swings in Italian, km/h",
    has: { swings: true },
    files: {
      "velocita.csv": csv(
        longSwings(
          ["Codice", "Visita", "Bastone", "Colpo", "Velocità testa (km/h)"],
          { w0: "Prima", w6: "Dopo" },
          { factor: 1.609344 },
        ),
        { delimiter: ";", decimal: "," },
      ),
    },
  },
  {
    name: "a row of units below the headings, a row of sums at the end",
    has: sum,
    files: {
      "grip.csv": csv([
        ["Player", "Session", "Hand", "Position", "Trial", "Force"],
        ["", "", "", "", "", "N"],
        ...longGrip({
          heads: [],
          visit: prePost,
          hand: LR,
          position: plain,
          factor: 9.80665,
          digits: 5,
        }).slice(1),
        ["Grand total", "", "", "", "", 20000.5],
      ]),
    },
  },
  {
    name: "a folder per golfer, a file per visit",
    has: sum,
    files: Object.fromEntries(
      golfers.flatMap(({ code }) =>
        visits.map((visit) => [
          `${code}/${prePost[visit]}.csv`,
          csv([
            ["Hand", "Position", "Trial", "Force (kg)"],
            ...trials
              .filter((t) => t.golfer === code && t.visit === visit)
              .map((t) => [LR[sideOf(code, t.hand)], t.position, t.trial, t.kgf]),
          ]),
        ]),
      ),
    ),
  },
  {
    name: "asked: a unit that is not read, with values that look like newtons",
    asks: true,
    has: sum,
    files: {
      "export.csv": csv(
        longGrip({
          heads: ["Player", "Visit", "Hand", "Position", "Trial", "Force (counts)"],
          visit: prePost,
          hand: LR,
          position: plain,
          factor: 12,
        }),
      ),
    },
  },
  {
    name: "asked: a unit that is not read, with values that look like km/h",
    asks: true,
    has: { swings: true },
    files: {
      "export.csv": csv(
        longSwings(["Player", "Visit", "Club", "Shot", "Club speed (ft/s)"], prePost, {
          factor: 5280 / 3600,
        }),
      ),
    },
  },
  {
    name: "asked: no unit anywhere",
    asks: true,
    has: sum,
    files: {
      "export.csv": csv(
        longGrip({
          heads: ["Player", "Visit", "Hand", "Position", "Trial", "Grip"],
          visit: prePost,
          hand: LR,
          position: plain,
        }),
      ),
    },
  },
];

function versuche(): Table {
  const keys = [...new Set(trials.map((t) => `${t.golfer}|${t.visit}|${t.hand}|${t.position}`))];
  const rows = keys.map((key) => {
    const own = trials.filter((t) => `${t.golfer}|${t.visit}|${t.hand}|${t.position}` === key);
    const [first] = own;
    return [
      first!.golfer,
      t12[first!.visit],
      sideOf(first!.golfer, first!.hand) === "left" ? "links" : "rechts",
      german[first!.position],
      ...own.map(({ kgf }) => kgf),
    ];
  });
  return [
    ["Spieler", "Messzeitpunkt", "Hand", "Position", "Versuch 1 (kg)", "Versuch 2 (kg)"],
    ...rows,
  ];
}

function wideSwings(): Table {
  const keys = [...new Set(swings.map((s) => `${s.golfer}|${s.visit}`))];
  const rows = keys.map((key) => {
    const own = swings.filter((s) => `${s.golfer}|${s.visit}` === key);
    return [own[0]!.golfer, prePost[own[0]!.visit], ...own.map(({ mph }) => mph)];
  });
  return [
    ["Player", "Visit", "CHS_driver_1 (mph)", "CHS_driver_2 (mph)", "CHS_driver_3 (mph)"],
    ...rows,
  ];
}

function mixed(): Table {
  return [
    ["Player", "Visit", "Test type", "Hand", "Position", "Club", "Trial", "Value", "Unit"],
    ...trials.map((t) => [
      t.golfer,
      prePost[t.visit],
      "Grip",
      t.hand,
      t.position,
      "",
      t.trial,
      t.kgf,
      "kg",
    ]),
    ...swings.map((s) => [
      s.golfer,
      prePost[s.visit],
      "Speed",
      "",
      "",
      "Driver",
      s.swing,
      s.mph,
      "mph",
    ]),
  ];
}

function merged(): Table {
  let above = "";
  return longGrip({
    heads: ["Player", "Visit", "Hand", "Position", "Trial", "Grip (kg)"],
    visit: prePost,
    hand: LR,
    position: plain,
  }).map((row, i) => {
    if (i === 0) return row;
    const golfer = String(row[0]);
    const shownGolfer = golfer === above ? "" : golfer;
    above = golfer;
    return [shownGolfer, ...row.slice(1)];
  });
}

function twoRows(): Table {
  const order = trials.filter((t) => t.golfer === "G01" && t.visit === "w0");
  const upper = order.map((t, i) =>
    i > 0 && order[i - 1]!.hand === t.hand && order[i - 1]!.position === t.position
      ? ""
      : `${t.hand} ${t.position}`,
  );
  const keys = [...new Set(trials.map((t) => `${t.golfer}|${t.visit}`))];
  return [
    ["Player", "Visit", ...upper],
    ["", "", ...order.map((t) => String(t.trial))],
    ...keys.map((key) => {
      const own = trials.filter((t) => `${t.golfer}|${t.visit}` === key);
      return [own[0]!.golfer, prePost[own[0]!.visit], ...own.map(({ kgf }) => kgf)];
    }),
  ];
}
