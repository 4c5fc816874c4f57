/** Other software, each timed inside its own process: first run discarded, then repeats. */
import { spawnSync } from "node:child_process";

/** Debian packages of what the peers need. */
const debian = {
  scipy: "python3-scipy",
  statsmodels: "python3-statsmodels",
  pandas: "python3-pandas",
  boot: "r-cran-boot",
  lme4: "r-cran-lme4",
};

/** Python code that defines `run()`, returning a number. */
export function python({ needs, code, repeats = 7 }) {
  const script = `
import json, time
${code}
value = run()
seconds = []
begun = time.perf_counter()
while len(seconds) < ${repeats} or (time.perf_counter() - begun < 1 and len(seconds) < 200):
    start = time.perf_counter()
    value = run()
    seconds.append(time.perf_counter() - start)
print(json.dumps({"seconds": seconds, "value": float(value)}))
`;
  return peer(
    ["/usr/bin/python3", "python3"],
    needs,
    script,
    (module) => ["-c", `import ${module}`],
    (text) => ["-c", text],
  );
}

/** R code that defines `run`, a function of nothing that returns a number. */
export function r({ needs, code, repeats = 7 }) {
  const script = `
${code}
value <- run()
seconds <- numeric(0)
for (i in 1:${repeats}) {
  start <- proc.time()[["elapsed"]]
  runs <- 0
  # the clock has steps of a millisecond: repeat a short job until it is worth reading
  repeat {
    value <- run()
    runs <- runs + 1
    if (proc.time()[["elapsed"]] - start > 0.2) break
  }
  seconds <- c(seconds, (proc.time()[["elapsed"]] - start) / runs)
}
cat(sprintf('{"seconds": [%s], "value": %.17g}\\n', paste(sprintf("%.9f", seconds), collapse = ", "), value))
`;
  return peer(
    ["Rscript"],
    needs,
    script,
    (name) => ["-e", `library(${name})`],
    (text) => ["-e", text],
  );
}

function peer(programs, needs, script, check, run) {
  return {
    time() {
      const program = programs.find((name) =>
        needs.every((need) => spawnSync(name, check(need), { stdio: "ignore" }).status === 0),
      );
      if (!program) return { absent: howToInstall(needs) };
      const done = spawnSync(program, run(script), { encoding: "utf8", maxBuffer: 1 << 26 });
      if (done.status !== 0) return { absent: `failed: ${done.stderr.trim().split("\n").at(-1)}` };
      return JSON.parse(done.stdout.trim().split("\n").at(-1));
    },
  };
}

function howToInstall(needs) {
  const packages = needs.map((need) => debian[need] ?? need);
  return `not installed (Debian: apt-get install ${packages.join(" ")})`;
}
