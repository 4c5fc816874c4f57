import type * as TypeScript from "@tslab/typescript-for-tslab";

type Ts = typeof TypeScript;
/** Exported by the compiler, but not declared. */
type Binder = { bindSourceFile(file: TypeScript.SourceFile, options: object): void };
type Bound = TypeScript.SourceFile & { readonly locals?: ReadonlyMap<string, unknown> };

/** Hosts and files whose lists of imports are sorted. */
const sorting = new WeakSet<object>();
/** The two files of a notebook, a cell and the declarations of the cells before it. */
const ownFile = /__(?:tslab|prev)__(?:\.d)?\.ts$/;

/**
 * The compiler as tslab gets it, with a lighter builder of programs. tslab makes two programs a
 * cell and takes the compiler's incremental builder, which works out for each of them, over every
 * declaration file, which file depends on which; a cell needs none of that. The first of the two
 * programs is only asked for the names that the cell declares: these are read from the cell alone.
 */
export function withLightPrograms(ts: Ts): Ts {
  const light = {} as Ts;
  for (const name of Object.keys(ts) as (keyof Ts)[]) {
    Object.defineProperty(light, name, {
      configurable: true,
      enumerable: true,
      get: () => ts[name],
    });
  }
  // The compiler declares several forms of this function; tslab calls the one with these arguments.
  const createWatchCompilerHost = (
    roots: never,
    options: never,
    system: never,
    _: null,
    ...rest: never[]
  ) => ts.createWatchCompilerHost(roots, options, system, lightBuilder(ts) as never, ...rest);
  return Object.defineProperty(light, "createWatchCompilerHost", {
    enumerable: true,
    value: createWatchCompilerHost,
  });
}

function lightBuilder(ts: Ts): TypeScript.CreateProgram<TypeScript.BuilderProgram> {
  return (...given) => {
    const [roots, options, host, earlier] = given;
    const cell = roots?.find((name) => !name.endsWith(".d.ts"));
    const text = cell && earlier && host?.readFile(cell);
    if (cell && text && options?.target !== undefined) {
      const file = ts.createSourceFile(cell, text, options.target);
      bind(ts, file, options);
      if (lacksItsExports(file)) return { ...earlier, getSourceFile: () => file };
    }
    if (host) keepModules(host);
    const builder = ts.createAbstractBuilder(...given);
    const program = builder.getProgram();
    for (const name of program.getRootFileNames()) {
      const file = program.getSourceFile(name);
      // tslab reads the names that a cell declares before anything is checked
      if (file) bind(ts, file, program.getCompilerOptions());
    }
    /** tslab looks among these for modules written in TypeScript; installed ones are declarations. */
    const getAllDependencies = () =>
      program
        .getSourceFiles()
        .filter((file) => !file.isDeclarationFile)
        .map((file) => file.fileName);
    return Object.assign(builder, { getAllDependencies });
  };
}

/** The compiler's declarations leave the binder out. */
function bind(ts: Ts, file: TypeScript.SourceFile, options: TypeScript.CompilerOptions): void {
  (ts as unknown as Binder).bindSourceFile(file, options);
}

/**
 * The compiler walks through all declaration files again when a file lists other imports than
 * before. Sorted and each module once, the lists of most cells are equal, and the walk is saved.
 */
function keepModules(host: TypeScript.CompilerHost): void {
  const { getSourceFileByPath } = host;
  if (!getSourceFileByPath || sorting.has(host)) return;
  sorting.add(host);
  host.getSourceFileByPath = (...given) => {
    const file = getSourceFileByPath.apply(host, given);
    if (file && !sorting.has(file) && ownFile.test(file.fileName)) sortImports(file);
    return file;
  };
}

function sortImports(file: TypeScript.SourceFile): void {
  let kept: readonly TypeScript.StringLiteralLike[] | undefined;
  Object.defineProperty(file, "imports", {
    configurable: true,
    enumerable: true,
    get: () => kept,
    set(found: readonly TypeScript.StringLiteralLike[] | undefined) {
      const byModule = new Map(found?.map((literal) => [literal.text, literal]));
      kept = found && [...byModule.values()].sort((a, b) => (a.text < b.text ? -1 : 1));
    },
  });
  sorting.add(file);
}

/** tslab asks for the names of a cell first, and checks it with a clause that exports them all. */
function lacksItsExports(file: TypeScript.SourceFile): boolean {
  const names = [...((file as Bound).locals?.keys() ?? [])];
  return names.length > 0 && !file.text.endsWith(`\nexport {${names.join(", ")}}`);
}
