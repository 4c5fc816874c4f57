import { fixedText } from "../../show/wording.js";
import type { WorkedStep } from "../../show/worked-steps.js";
import type { LessonWords } from "../tasks.js";
import type { ReplyWords } from "./reply-words.js";

/** Spanish numbers have a decimal comma. */
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

/** The exercises of lesson 1 in Spanish. */
export const spanish: Pick<
  LessonWords,
  "squeeze-typical-error" | "squeeze-detectable-change" | "squeeze-best-or-mean"
> = {
  "squeeze-typical-error": {
    asks: "error típico del primer y segundo intento",
    prompt:
      "Tome el primer y el segundo intento de sus golfistas. ¿Cuál es el error típico de un intento?",
    hints: {
      question:
        "¿En qué se diferencian dos intentos de un golfista separados por un minuto: en la fuerza o en el error?",
      idea: "Las diferencias segundo − primero contienen solo error, una vez de cada intento. Un desplazamiento común a todos no es error y se resta con la media.",
      recipe:
        "Segundo − primero para cada golfista, la desviación típica de estas diferencias con n − 1, y se divide por √2.",
    },
    slips: {
      notDivided: [
        "raíz de 2",
        "Esa es la desviación típica de las diferencias. Una diferencia contiene el error de dos intentos.",
      ],
      divisorN: [
        "n − 1",
        "Ha dividido por n. La media se estimó con los mismos golfistas: divida por n − 1.",
      ],
      halved: [
        "raíz de 2",
        "Ha dividido la desviación típica por 2. Los errores se suman como cuadrados: divida por √2.",
      ],
      squared: ["cuadrado", "Eso es una varianza, en kgf². El error es su raíz."],
      people: [
        "golfistas, no error",
        "Esa es la desviación típica entre golfistas, no el error de los intentos de uno.",
      ],
      shift: [
        "media, no dispersión",
        "Esa es la diferencia media: un desplazamiento común a todos. El error es la dispersión alrededor.",
      ],
      shiftKept: [
        "desplazamiento común",
        "Ha usado √(Σd² / 2n), que cuenta el desplazamiento común como error: reste primero la diferencia media y divida por n − 1.",
      ],
    },
    steps: ({ value, facts: { differences, shift, sd, n } }) => [
      list("Segundo − primero para cada golfista (kgf):", differences, one),
      `Su media es ${two(shift)} kgf: este desplazamiento es común a todos y no es error.`,
      `Su desviación típica, con n − 1 = ${n - 1}, es ${three(sd)} kgf.`,
      `Dos intentos contienen dos errores: ${three(sd)} / √2 = ${two(value)} kgf.`,
    ],
    meaning: ({ value }) =>
      `En 95 de 100 casos un intento de estos golfistas está a menos de ${two(1.96 * value)} kgf del nivel propio del golfista.`,
  },
  "squeeze-detectable-change": {
    asks: "cambio mínimo detectable (95 %) de la media de tres intentos",
    prompt:
      "Tome ahora los tres intentos. Su error típico es la raíz del cuadrado medio del error de una tabla golfistas × intentos. ¿Cuál es el cambio mínimo detectable (95 %) de un golfista que se mide antes y después con la media de tres intentos?",
    hints: {
      question: "¿Cuántas lecturas hay en el valor de una prueba y cuántas pruebas en un cambio?",
      idea: "La media de tres tiene 1/√3 del error de un intento. Un cambio es la diferencia de dos pruebas: su error es √2 veces mayor.",
      recipe: "1,96 × √2 × (error típico de un intento) / √3.",
    },
    slips: {
      oneSqueeze: [
        "un intento",
        "Eso vale para un intento en cada prueba. La media de tres tiene menos error.",
      ],
      dividedBy3: ["raíz de 3", "Tres intentos reducen el error √3 veces, no 3 veces."],
      level90: ["nivel", "Ese es el cambio detectable del 90 %: su factor es 1,645."],
      oneTest: [
        "raíz de 2",
        "Las dos pruebas tienen error: el error de un cambio es √2 veces el de una prueba.",
      ],
      errorOnly: ["error, no cambio", "Ese es el error típico de un intento."],
      noFactor: ["nivel", "El error del cambio es correcto. Falta el factor 1,96 del 95 %."],
    },
    steps: ({ value, facts: { error, ofMean, ofChange } }) => [
      `El error típico de un intento, de los tres, es ${three(error)} kgf.`,
      `La media de tres tiene el error ${three(error)} / √3 = ${three(ofMean)} kgf.`,
      `Un cambio es la diferencia de dos medias así: √2 × ${three(ofMean)} = ${three(ofChange)} kgf.`,
      `El 95 % de los cambios de golfistas que no cambiaron está a menos de 1,96 × ${three(ofChange)} = ${two(value)} kgf de cero.`,
    ],
    meaning: ({ value }) =>
      `Un golfista de este grupo cuya media de tres sube más de ${two(value)} kgf probablemente ha cambiado. Una subida menor puede ser error de medida.`,
  },
  "squeeze-best-or-mean": {
    asks: "ganancia aparente al pasar de la media al mejor intento",
    prompt:
      "Un entrenador toma la media de los tres intentos en primavera y el mejor de tres en otoño. Sus golfistas aprietan las dos veces exactamente como en la tabla. ¿Qué ganancia media aparente produce el cambio de regla?",
    hints: {
      question: "¿Puede el mejor de tres intentos ser menor que su media?",
      idea: "El mejor es la media más un error favorable. El cambio de regla lo da a todos los golfistas, aunque nadie haya cambiado.",
      recipe: "Para cada golfista, el mayor de los tres − su media; después la media de todos.",
    },
    slips: {
      sign: [
        "signo",
        "El mejor nunca está por debajo de la media: la ganancia tiene el otro signo.",
      ],
      oneGolfer: ["un golfista", "Ese es solo el golfista A. Tome la media de todos."],
      percent: ["porcentaje, no kgf", "Eso es un porcentaje de la media."],
      range: ["mejor y peor", "Eso es mejor − peor. La primera prueba fue la media."],
    },
    steps: ({ value, facts: { gains, n } }) => [
      list("Mejor − media de cada golfista (kgf):", gains, two),
      `La media de estas ${n} ganancias es ${two(value)} kgf.`,
    ],
    meaning: ({ value }) =>
      `El informe mostraría una ganancia de ${two(value)} kgf aunque ningún golfista cambió: use la misma regla en todas las visitas.`,
  },
};

/** What every exercise says, in Spanish. */
export const spanishReplies: ReplyWords = {
  exercise: "Ejercicio.",
  wanted: (unit, digits) => {
    const places = `${digits} decimal${digits === 1 ? "" : "es"}`;
    return unit ? `Respuesta en ${unit}, con ${places}.` : `Respuesta con ${places}.`;
  },
  right: "Correcto.",
  notYet: (kind) => `Todavía no: ${kind}.`,
  hint: "Pista:",
  solution: "La solución, paso a paso:",
  noAnswer: "Todavía no hay respuesta.",
  notNumber: (unit) =>
    `La respuesta no es un número: escriba 1,4${unit === "" ? "" : ` o «1,4 ${unit}»`}.`,
  gap: (typed) => `Hay un espacio dentro del número «${typed}». Escríbalo sin él.`,
  twoPoints: (typed) => `«${typed}» tiene dos signos decimales. Escriba el número otra vez.`,
  twoValues: (first, second) =>
    `Son dos valores, ${first} y ${second}: una coma separa valores en una celda. Escriba ${first}.${second}, o "${first},${second}" entre comillas.`,
  unit: (asked, given) =>
    `Se pide ${asked === "" ? "un número sin unidad" : `en ${asked}`}, no en ${given}.`,
  otherUnit: (symbol, asked) => `Parece la cantidad correcta en ${symbol}; se pide en ${asked}.`,
  sign: "El tamaño es correcto, el signo no.",
  fraction: "Eso es una fracción: multiplíquela por 100.",
  coarse: (digits) => `Correcto hasta aquí; dé ${digits} decimales.`,
  close: "Casi: conserve todas las cifras y redondee al final.",
  unknown:
    "Todavía no, y ningún error frecuente lleva a este número. Compruebe filas y columnas, el signo y las cifras.",
  kinds: { unit: "unidad", sign: "signo", fraction: "fracción", rounding: "redondeo" },
};
