import { fixedText } from "../../show/wording.js";
import type { WorkedStep } from "../../show/worked-steps.js";
import type { LessonWords } from "../tasks.js";
import type { ReplyWords } from "./reply-words.js";

/** German numbers have a decimal comma. */
const text = (value: number, digits: number) => fixedText(value, digits).replace(".", ",");
const one = (value: number) => text(value, 1);
const two = (value: number) => text(value, 2);
const three = (value: number) => text(value, 3);
const list = (
  says: string,
  values: readonly number[],
  text: (value: number) => string,
): WorkedStep => ({
  says,
  golfers: values.map((_, i) => String.fromCharCode(65 + i)),
  values: values.map(text),
});

/** The exercises of lesson 1 in German. */
export const german: Pick<
  LessonWords,
  "squeeze-typical-error" | "squeeze-detectable-change" | "squeeze-best-or-mean"
> = {
  "squeeze-typical-error": {
    asks: "typischer Fehler aus erstem und zweitem Versuch",
    prompt:
      "Nehmen Sie den ersten und den zweiten Versuch Ihrer Golfer. Wie groß ist der typische Fehler eines Versuchs?",
    hints: {
      question:
        "Was unterscheidet zwei Versuche eines Golfers im Abstand von einer Minute: die Kraft oder der Fehler?",
      idea: "Die Differenzen zweiter − erster Versuch enthalten nur Fehler, einmal aus jedem Versuch. Eine Verschiebung, die allen Golfern gemeinsam ist, ist kein Fehler und wird mit dem Mittelwert abgezogen.",
      recipe:
        "Zweiter − erster Versuch für jeden Golfer, dann die Standardabweichung dieser Differenzen mit n − 1, dann durch √2.",
    },
    slips: {
      notDivided: [
        "Wurzel aus 2",
        "Das ist die Standardabweichung der Differenzen. Eine Differenz enthält den Fehler von zwei Versuchen.",
      ],
      divisorN: [
        "n − 1",
        "Sie haben durch n geteilt. Der Mittelwert stammt von denselben Golfern: Teilen Sie durch n − 1.",
      ],
      halved: [
        "Wurzel aus 2",
        "Sie haben die Standardabweichung der Differenzen halbiert. Fehler addieren sich als Quadrate: Teilen Sie durch √2.",
      ],
      squared: ["Quadrat", "Das ist eine Varianz in kgf². Der Fehler ist ihre Wurzel."],
      people: [
        "Golfer, nicht Fehler",
        "Das ist die Standardabweichung zwischen Golfern, nicht der Fehler der Versuche eines Golfers.",
      ],
      shift: [
        "Mittelwert, nicht Streuung",
        "Das ist die mittlere Differenz: eine Verschiebung, die allen gemeinsam ist. Der Fehler ist die Streuung darum.",
      ],
      shiftKept: [
        "gemeinsame Verschiebung",
        "Sie haben √(Σd² / 2n) genommen. So zählt die gemeinsame Verschiebung als Fehler: Ziehen Sie erst die mittlere Differenz ab und teilen Sie durch n − 1.",
      ],
    },
    steps: ({ value, facts: { differences, shift, sd, n } }) => [
      list("Zweiter − erster Versuch für jeden Golfer (kgf):", differences, one),
      `Der Mittelwert ist ${two(shift)} kgf: Diese Verschiebung ist allen gemeinsam und kein Fehler.`,
      `Die Standardabweichung darum, mit n − 1 = ${n - 1}, ist ${three(sd)} kgf.`,
      `Zwei Versuche enthalten zwei Fehler: ${three(sd)} / √2 = ${two(value)} kgf.`,
    ],
    meaning: ({ value }) =>
      `In 95 von 100 Fällen liegt ein Versuch dieser Golfer höchstens ${two(1.96 * value)} kgf neben dem eigenen Niveau des Golfers.`,
  },
  "squeeze-detectable-change": {
    asks: "kleinste nachweisbare Änderung (95 %) des Mittels von drei Versuchen",
    prompt:
      "Nehmen Sie nun alle drei Versuche. Ihr typischer Fehler ist die Wurzel aus dem mittleren Fehlerquadrat einer Tabelle Golfer × Versuche. Wie groß ist die kleinste nachweisbare Änderung (95 %) eines Golfers, der vorher und nachher mit dem Mittel aus drei Versuchen getestet wird?",
    hints: {
      question:
        "Wie viele Messwerte stecken im Wert eines Tests, und wie viele Tests in einer Änderung?",
      idea: "Das Mittel aus drei Versuchen hat 1/√3 des Fehlers eines Versuchs. Eine Änderung ist die Differenz zweier Tests: Ihr Fehler ist √2-mal so groß.",
      recipe: "1,96 × √2 × (typischer Fehler eines Versuchs) / √3.",
    },
    slips: {
      oneSqueeze: [
        "ein Versuch",
        "Das gilt für einen Versuch je Test. Das Mittel aus drei hat einen kleineren Fehler.",
      ],
      dividedBy3: [
        "Wurzel aus 3",
        "Drei Versuche machen den Fehler √3-mal kleiner, nicht dreimal.",
      ],
      level90: ["Niveau", "Das ist die nachweisbare Änderung für 90 %; ihr Faktor ist 1,645."],
      oneTest: [
        "Wurzel aus 2",
        "Beide Tests haben einen Fehler: Der Fehler einer Änderung ist √2-mal so groß wie der eines Tests.",
      ],
      errorOnly: ["Fehler, nicht Änderung", "Das ist der typische Fehler eines Versuchs."],
      noFactor: ["Niveau", "Der Fehler der Änderung stimmt. Der Faktor 1,96 für 95 % fehlt."],
    },
    steps: ({ value, facts: { error, ofMean, ofChange } }) => [
      `Der typische Fehler eines Versuchs aus allen dreien ist ${three(error)} kgf.`,
      `Das Mittel aus drei Versuchen hat den Fehler ${three(error)} / √3 = ${three(ofMean)} kgf.`,
      `Eine Änderung ist die Differenz zweier solcher Mittel: √2 × ${three(ofMean)} = ${three(ofChange)} kgf.`,
      `95 % der Änderungen von Golfern, die sich nicht geändert haben, liegen höchstens 1,96 × ${three(ofChange)} = ${two(value)} kgf neben null.`,
    ],
    meaning: ({ value }) =>
      `Ein Golfer dieser Gruppe, dessen Mittel aus drei Versuchen um mehr als ${two(value)} kgf steigt, hat sich wahrscheinlich geändert. Ein kleinerer Anstieg kann Messfehler sein.`,
  },
  "squeeze-best-or-mean": {
    asks: "Gewinn durch den Wechsel vom Mittel zum besten Versuch",
    prompt:
      "Ein Trainer nimmt im Frühjahr das Mittel der drei Versuche und im Herbst den besten von dreien. Ihre Golfer drücken beide Male genau wie in der Tabelle. Welchen mittleren Gewinn täuscht der Wechsel vor?",
    hints: {
      question: "Kann der beste von drei Versuchen kleiner sein als ihr Mittel?",
      idea: "Der beste Versuch ist das Mittel plus ein günstiger Fehler. Der Wechsel gibt ihn jedem Golfer, obwohl sich niemand geändert hat.",
      recipe: "Für jeden Golfer der höchste Versuch − das Mittel, dann das Mittel über die Golfer.",
    },
    slips: {
      sign: [
        "Vorzeichen",
        "Der beste Versuch liegt nie unter dem Mittel: Der Gewinn hat das andere Vorzeichen.",
      ],
      oneGolfer: ["ein Golfer", "Das ist nur Golfer A. Nehmen Sie das Mittel über alle Golfer."],
      percent: ["Prozent, nicht kgf", "Das ist ein Prozentsatz des Mittels."],
      range: [
        "bester und schlechtester",
        "Das ist bester − schlechtester Versuch. Der erste Test war das Mittel.",
      ],
    },
    steps: ({ value, facts: { gains, n } }) => [
      list("Bester Versuch − Mittel für jeden Golfer (kgf):", gains, two),
      `Das Mittel dieser ${n} Gewinne ist ${two(value)} kgf.`,
    ],
    meaning: ({ value }) =>
      `Der Bericht würde einen Gewinn von ${two(value)} kgf zeigen, obwohl sich kein Golfer geändert hat: Verwenden Sie für alle Termine dieselbe Regel.`,
  },
};

/** What every exercise says, in German. */
export const germanReplies: ReplyWords = {
  exercise: "Aufgabe.",
  wanted: (unit, digits) => {
    const places = `${digits} Nachkommastelle${digits === 1 ? "" : "n"}`;
    return unit ? `Antwort in ${unit}, mit ${places}.` : `Antwort mit ${places}.`;
  },
  right: "Richtig.",
  notYet: (kind) => `Noch nicht: ${kind}.`,
  hint: "Hinweis:",
  solution: "Die Lösung, Schritt für Schritt:",
  noAnswer: "Noch keine Antwort.",
  notNumber: (unit) =>
    `Die Antwort ist keine Zahl: Schreiben Sie 1,4${unit === "" ? "" : ` oder „1,4 ${unit}“`}.`,
  gap: (typed) => `In der Zahl „${typed}“ steht ein Leerzeichen. Schreiben Sie sie ohne.`,
  twoPoints: (typed) => `„${typed}“ hat zwei Dezimalzeichen. Schreiben Sie die Zahl noch einmal.`,
  twoValues: (first, second) =>
    `Das sind zwei Werte, ${first} und ${second}: Ein Komma trennt in einer Zelle Werte. Schreiben Sie ${first}.${second} oder "${first},${second}" in Anführungszeichen.`,
  unit: (asked, given) =>
    `Gefragt ist ${asked === "" ? "eine Zahl ohne Einheit" : `nach ${asked}`}, nicht nach ${given}.`,
  otherUnit: (symbol, asked) =>
    `Das sieht nach dem richtigen Betrag in ${symbol} aus; gefragt ist nach ${asked}.`,
  sign: "Der Betrag stimmt, das Vorzeichen nicht.",
  fraction: "Das ist ein Bruchteil: Nehmen Sie ihn mal 100.",
  coarse: (digits) => `Bis hierher richtig; geben Sie ${digits} Nachkommastellen an.`,
  close: "Fast: Behalten Sie unterwegs alle Stellen und runden Sie am Ende.",
  unknown:
    "Noch nicht, und kein häufiger Fehler führt zu dieser Zahl. Prüfen Sie Zeilen und Spalten, das Vorzeichen und die Stellen unterwegs.",
  kinds: { unit: "Einheit", sign: "Vorzeichen", fraction: "Bruchteil", rounding: "Rundung" },
};
