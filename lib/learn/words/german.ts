import { fixedText } from "../../show/wording.js";
import type { WorkedStep } from "../../show/worked-steps.js";
import { sharedShift, twoSqueezes } from "../opening-pictures.js";
import type { LessonWords } from "../tasks.js";
import { option, type PartOfLessons } from "./lesson-text.js";
import type { ModelWords } from "./model-words.js";
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
      shiftKept: [
        "gemeinsame Verschiebung",
        "Ihr Fehler ist die gepoolte Standardabweichung der Versuche jedes Golfers. So zählt die gemeinsame Verschiebung von Versuch zu Versuch als Fehler: Ziehen Sie auch die Mittelwerte der drei Spalten ab.",
      ],
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
  wrongUnit: (asked, given) => `Die Zahl stimmt in ${asked}; Sie haben ${given} geschrieben.`,
  sign: "Der Betrag stimmt, das Vorzeichen nicht.",
  fraction: "Das ist ein Bruchteil: Nehmen Sie ihn mal 100.",
  coarse: (digits) =>
    `Bis hierher richtig; geben Sie ${digits} Nachkommastelle${digits === 1 ? "" : "n"} an.`,
  close: "Fast: Behalten Sie unterwegs alle Stellen und runden Sie am Ende.",
  unknown:
    "Noch nicht, und kein häufiger Fehler führt zu dieser Zahl. Prüfen Sie Zeilen und Spalten, das Vorzeichen und die Stellen unterwegs.",
  kinds: { unit: "Einheit", sign: "Vorzeichen", fraction: "Bruchteil", rounding: "Rundung" },
};

/** The questions, captions and text cells of lesson 1 in German. Made on demand: a program without lessons leaves it out. */
export const germanLessons = (): PartOfLessons => ({
  questions: {
    "squeeze-open": {
      asks: "Ein Golfer drückte letzten Monat 42 kgf und heute 44 kgf. Ist der Golfer stärker geworden?",
      options: [
        option(
          "Ja: 44 ist mehr als 42.",
          "Der nächste Versuch, eine Minute später, kann 41 kgf zeigen. Diese Lektion zeigt, wie stark Versuche schwanken.",
        ),
        option(
          "Nein: 2 kgf sind nichts.",
          "Sie können etwas sein. Ob man 2 kgf nachweisen kann, hängt vom Fehler eines Versuchs ab.",
        ),
        option(
          "Zwei Versuche können es nicht zeigen.",
          "Richtig, in den meisten Fällen. Diese Lektion zeigt, wie groß eine Änderung sein muss, damit zwei Tests sie zeigen.",
        ),
      ],
      picture: {
        drawn: twoSqueezes({
          title: "Ein Golfer, ein Versuch je Test",
          tests: "Letzter Monat, und heute",
          grip: "Griffkraft, führende Hand (kgf)",
        }),
        alt: "Zwei Punkte, mit einer gestrichelten Linie verbunden: 42 kgf letzten Monat und 44 kgf heute.",
      },
    },
    "squeeze-shift": {
      asks: "Acht Golfer drücken zweimal, und der zweite Versuch ist im Mittel 1,1 kgf niedriger. Gehört dieser Abfall zum Fehler eines Versuchs?",
      options: [
        option(
          "Ja: Die Messwerte sind verschieden.",
          "Das sind sie, aber der Abfall ist allen Golfern gemeinsam, zum Beispiel weil sie müde sind. Fehler ist, was bleibt, wenn man ihn abzieht: die Abbildung rechts.",
        ),
        option(
          "Nein: Man zieht ihn zuerst ab.",
          "Richtig. Ziehen Sie die mittlere Differenz ab: Die Punkte rücken zu null, und ihre Streuung, die gleich bleibt, ist der Fehler.",
        ),
      ],
      picture: {
        drawn: sharedShift({
          before: "Zweiter − erster Versuch: Verschiebung und Fehler",
          after: "Ohne die mittlere Differenz: nur Fehler",
          difference: "Differenz (kgf)",
          none: "kein Unterschied",
          mean: "Mittel",
        }),
        alt: "Acht Punkte auf einer Skala zweiter − erster Versuch um ihr Mittel von −1,1 kgf; daneben dieselben Punkte um null.",
      },
    },
    "squeeze-predict": {
      asks: "Kein Golfer einer Gruppe von 12 hat sich geändert. Wie viele überschreiten die kleinste nachweisbare Änderung (95 %)?",
      options: [
        option(
          "Keiner: Niemand hat sich geändert.",
          "In einer Gruppe kann es keiner sein. Zeigen Sie einen Golfer aus jeder von 200 Gruppen: Durch Zufall überschreiten etwa 5 % die Grenze, also 0,6 von 12.",
        ),
        option(
          "Keiner bis zwei.",
          "Richtig. Zu erwarten sind 5 % von 12 = 0,6: Die meisten Gruppen haben keinen oder einen, manche zwei.",
        ),
        option(
          "Etwa die Hälfte.",
          "Das wäre eine Grenze von der üblichen Größe einer Änderung. Die Grenze von 95 % überschreiten etwa 5 % der Golfer.",
        ),
      ],
    },
    "squeeze-play-1": {
      asks: "Lassen Sie die wahre Änderung bei null und ziehen Sie mehrmals. Was zeigen die gefüllten Punkte?",
      options: [
        option(
          "Golfer, die stärker oder schwächer wurden.",
          "Die wahre Änderung ist bei jedem Golfer null: Diese Änderungen sind nur Fehler.",
        ),
        option(
          "Golfer, deren Fehler zufällig groß war.",
          "Richtig. Die Grenze ist so gewählt, dass etwa 5 von 100 unveränderten Golfern sie überschreiten.",
        ),
      ],
    },
    "squeeze-play-2": {
      asks: "Erhöhen Sie die Zahl der Versuche von 1 auf 3, dann von 3 auf 10. Welcher Schritt macht die nachweisbare Änderung um mehr kgf kleiner?",
      options: [
        option(
          "Von 1 auf 3.",
          "Richtig: von 4,2 auf 2,4 kgf bei einem Fehler von 1,5 kgf. Der Fehler sinkt mit der Wurzel aus der Zahl der Versuche.",
        ),
        option(
          "Von 3 auf 10.",
          "Dieser Schritt bringt 1,1 kgf für sieben weitere Versuche; der erste bringt 1,8 kgf für zwei weitere.",
        ),
        option(
          "Beide gleich viel.",
          "Lesen Sie das Ergebnis: 4,2, 2,4 und 1,3 kgf. Wegen der Wurzel bringen die ersten Versuche am meisten.",
        ),
      ],
    },
    "squeeze-play-3": {
      asks: "Stellen Sie drei Versuche und eine wahre Änderung von 2 kgf ein. Wie vielen von 12 Golfern würde man sagen, dass sie sich nicht geändert haben?",
      options: [
        option(
          "Keinem: Jeder Golfer wurde wirklich stärker.",
          "Nur 4 oder 5 von 12 überschreiten die Grenze von 2,4 kgf. Die anderen wurden stärker, aber der Test kann es nicht zeigen.",
        ),
        option(
          "Etwa 4.",
          "So viele überschreiten die Grenze. Die anderen 7 oder 8 wurden stärker, aber der Test kann es nicht zeigen.",
        ),
        option(
          "7 oder 8.",
          "Richtig. Eine wahre Änderung unter der nachweisbaren Änderung wird bei den meisten Golfern übersehen.",
        ),
      ],
    },
    "squeeze-play-4": {
      asks: "Setzen Sie die wahre Änderung auf null und wählen Sie „mean before, best after“. Woher kommt der Gewinn?",
      options: [
        option(
          "Vom Training.",
          "Die wahre Änderung ist null. Der Wechsel der Regel allein bringt etwa 1,3 kgf.",
        ),
        option(
          "Vom Wechsel der Regel.",
          "Richtig. Der beste von drei Versuchen enthält einen günstigen Fehler, das Mittel nicht.",
        ),
      ],
    },
    "squeeze-judge": {
      asks: "Ein Trainer sagt: „Deine Griffkraft ist um 2 kgf gestiegen, also wirkt das Training.“ Die kleinste nachweisbare Änderung ist 3,2 kgf. Ist das begründet?",
      options: [
        option(
          "Ja: 2 kgf sind mehr als nichts.",
          "Eine Änderung von 2 kgf misst man oft bei Golfern, die sich gar nicht geändert haben.",
        ),
        option(
          "Nein: Die Änderung liegt im Messfehler, also wurde der Golfer nicht besser.",
          "Halb richtig. Die Änderung liegt im Messfehler, aber eine kleinere Änderung kann trotzdem da sein.",
        ),
        option(
          "Nein: Zwei Tests können nicht zeigen, ob sich dieser Golfer geändert hat.",
          "Richtig. Testen Sie noch einmal, oder nehmen Sie das Mittel aus mehr Versuchen, damit die Grenze kleiner wird.",
        ),
      ],
    },
  },
  captions: {
    "one-squeeze":
      "Gruppen, zweimal getestet: was Golfer messen, wenn man weiß, was wirklich geschah.",
  },
  cells: {
    "1-one-squeeze": {
      question: `# 1 Was ein Versuch zeigt

Ich habe mehr gedrückt als letzten Monat. Bin ich stärker, oder war es ein guter Tag? Sie brauchen einen Kurs in Statistik und keine Programmierung.

> **Vorsicht.** Drücken mit voller Kraft erhöht kurz den Blutdruck. Testen Sie keine Hand und kein Handgelenk, die schmerzen oder vor Kurzem operiert wurden. Atmen Sie beim Drücken aus, machen Sie zwischen zwei Versuchen einer Hand mindestens eine Minute Pause, und hören Sie bei allem Ungewöhnlichen auf. Örtliche Regeln und der Rat von Fachleuten gehen vor.`,
      idea: `## Die Idee

Ein Dynamometer zeigt die Kraft des Golfers **plus einen Fehler**. Niemand sieht die beiden getrennt. Aber wenn ein Golfer in wenigen Minuten mehrmals drückt, ändert sich die Kraft kaum: Die Unterschiede der Versuche sind Fehler. Die übliche Größe dieses Fehlers ist der typische Fehler.

Wenn alle Golfer beim zweiten Mal etwas weniger drücken, ist das eine gemeinsame Verschiebung. Sie ist kein Fehler und wird entfernt: Ziehen Sie zuerst die mittlere Differenz ab, und messen Sie dann, wie die Differenzen um sie streuen.

Eine Änderung ist die Differenz zweier Messwerte, und beide haben einen Fehler. Unabhängige Fehler addieren sich als Quadrate: Eine Änderung hat √2-mal den Fehler eines Messwerts. Das Mittel aus k Versuchen hat einen √k-mal kleineren Fehler.`,
      real: `## Wie groß ist er in einer Studie?

Hier sind drei Versuche jedes Golfers beim ersten Termin der Demo-Studie, führende Hand, in der Ansprechposition. Die Studie ist erfunden, und ihre Golfer auch.`,
      play: `## Erst schätzen, dann ansehen

Eine Gruppe wird zweimal getestet. Sie bestimmen, was wirklich mit ihr geschah, und sehen, was das Dynamometer zeigt. Jeder Punkt ist ein Golfer; gefüllte Punkte überschreiten die kleinste nachweisbare Änderung. Wählen Sie zuerst eine Antwort: Dann erscheint eine Gruppe. Ziehen Sie einige neue, und zeigen Sie dann einen Golfer aus jeder von 200 Gruppen. Vier Aufgaben stehen unter der Abbildung.`,
      exercises: `## Drei Übungen

Diese Golfer sind Ihre. Nehmen Sie einen Taschenrechner oder eine Tabellenkalkulation. Auf eine falsche Antwort folgt ein Hinweis; nach zwei Versuchen sehen Sie die Lösung mit Ihren eigenen Zahlen. Schreiben Sie in einem Notebook Ihre Antwort nach dem Komma, \`answer("squeeze-typical-error", "1,23")\`, und führen Sie die Zelle aus.`,
      coach: `## Was ein Trainer sagen darf

„Deine Griffkraft ist um mehr als den Messfehler gestiegen.“ Sagen Sie das, wenn die Änderung größer ist als die kleinste nachweisbare Änderung, und wenn beide Tests dasselbe Dynamometer, dieselbe Position, dieselbe Hand und dieselbe Regel hatten. Sonst: „Zwei Tests können es nicht zeigen; testen wir noch einmal.“ Nicht: „Du bist nicht besser geworden“, denn eine Änderung, die zu klein für den Test ist, kann trotzdem da sein. Und nicht: „Du bist besser geworden“, weil der beste von drei Versuchen heute über dem Mittel von drei Versuchen im letzten Monat liegt.`,
    },
  },
});

/** The words of the figure to play with of lesson 1 in German. */
export const germanModels: Pick<ModelWords, "squeeze"> = {
  squeeze: {
    labels: {
      shown: "Gezeigte Gruppen",
      people: "Golfer einer Gruppe",
      trials: "Versuche je Test",
      error: "Fehler eines Versuchs",
      change: "Wahre Änderung",
      rule: "Ein Wert aus den Versuchen",
    },
    shown: { one: "eine Gruppe", all: "ein Golfer aus jeder von 200" },
    rule: { mean: "beide Male das Mittel", switched: "vorher das Mittel, nachher der beste" },
    title: (golfers, one) =>
      one
        ? `Eine Gruppe von ${golfers} Golfern: ein Punkt ist die gemessene Änderung eines Golfers`
        : `${golfers} Golfer, einer aus jeder Gruppe: ein Punkt ist die gemessene Änderung eines Golfers`,
    axes: { change: "Gemessene Änderung der Griffkraft (kgf)", golfers: "Golfer" },
    rules: {
      below: "−nachweisbar",
      above: "nachweisbare Änderung",
      none: "keine Änderung",
      truth: "wahre Änderung",
    },
    sentence: (facts) => {
      const { people, trials, switched, detectable, beyond, range } = facts;
      const truth =
        facts.change === 0
          ? "Kein Golfer hat sich wirklich geändert"
          : `Jeder Golfer hat wirklich ${one(facts.change)} kgf gewonnen`;
      const how = switched
        ? `mit dem Mittel aus ${trials} vorher, aber dem besten von ${trials} nachher`
        : trials === 1
          ? "mit einem Versuch je Test"
          : `mit dem Mittel aus ${trials} Versuchen je Test`;
      const tested = `${truth}. Getestet wurde ${how}, bei einem Fehler von ${one(facts.error)} kgf je Versuch.`;
      if (facts.one)
        return `${tested} Nachweisbar (95 %) ist eine Änderung von ${one(detectable)} kgf. In dieser Gruppe ${beyond === 1 ? "überschreitet" : "überschreiten"} sie ${beyond} von ${people} Golfern.`;
      const gain = switched
        ? ` Der Wechsel vom Mittel zum besten Versuch fügt ${one(facts.gain)} kgf hinzu.`
        : "";
      return `${tested} 95 % der gemessenen Änderungen liegen zwischen ${one(facts.changes.low)} und ${one(facts.changes.high)} kgf.${gain} Die kleinste nachweisbare Änderung ist ${one(detectable)} kgf: Von einer Gruppe von ${people} überschreiten sie im Mittel ${one(facts.passing)} Golfer, und ${text(range.low, 0)} bis ${text(range.high, 0)} in 95 von 100 Gruppen.`;
    },
    alt: "Säulen aus Punkten entlang einer Skala der Änderung, mit Linien bei keiner Änderung und auf beiden Seiten bei der kleinsten nachweisbaren Änderung; gefüllte Punkte liegen jenseits davon.",
  },
};
