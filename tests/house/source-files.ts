import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join, relative, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'

export const root = fileURLToPath(new URL('../..', import.meta.url))
const src = join(root, 'src')

/** A TypeScript file of `src`, tests left out, and the files of `src` it imports; paths relative to `src`. */
export interface SourceFile {
  readonly path: string
  readonly lines: number
  readonly imports: readonly string[]
}

export function sourceFiles(): readonly SourceFile[] {
  return readdirSync(src, { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith('.ts') && !path.endsWith('.test.ts') && !path.endsWith('.d.ts'))
    .map((path) => {
      const text = readFileSync(join(src, path), 'utf8')
      return { path, lines: text.split('\n').length - 1, imports: relativeImports(path, text) }
    })
}

function relativeImports(path: string, text: string): readonly string[] {
  const found = text.matchAll(/(?:from|import)\s*\(?\s*'(\.[^']+)'/g)
  return [...found].map(([, target]) => relative(src, resolve(src, dirname(path), target ?? '')))
}
