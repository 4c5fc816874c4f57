/** Growth of a straight-line fit; it has no peer that is asked to be beaten. */
import { fitLine } from "tautline/stats";

export default [
  {
    name: "fitLine by rows",
    sizes: [1000, 10000, 100000],
    job: (rows) => {
      const x = Float64Array.from({ length: rows }, (_, i) => 20 + (i % 97) / 3);
      const y = x.map((value, i) => 60 + 1.1 * value + ((i * 31) % 53) / 7);
      return () => fitLine({ x, y }).slope.value;
    },
  },
];
