import { describe, expect, it } from 'vitest'
import { type SourceFile, sourceFiles } from './source-files.ts'

/** Each room, and the rooms it may import from besides itself. */
const HOUSE: Readonly<Record<string, readonly string[]>> = {
  entry: ['gateway', 'shell'],
  gateway: ['shell', 'flow', 'core'],
  shell: ['flow', 'core'],
  flow: ['core'],
  core: [],
}

/** The same inside core: what each room rests on. */
const CORE: Readonly<Record<string, readonly string[]>> = {
  basics: [],
  clinical: ['basics'],
  registry: ['basics', 'clinical'],
  'json-text': ['basics'],
  record: ['basics', 'clinical', 'json-text'],
  mapping: ['basics', 'json-text', 'record'],
  bluetooth: ['basics'],
  'fhir-intake': ['basics'],
  fhir: ['basics', 'clinical', 'registry'],
  validation: ['basics', 'clinical', 'fhir'],
  recompute: ['basics', 'clinical', 'fhir', 'validation'],
  'audit-report': ['basics', 'clinical', 'validation', 'recompute'],
  outbox: ['basics'],
  exchange: ['basics', 'registry', 'json-text', 'fhir', 'outbox'],
  hl7v2: ['basics', 'registry', 'fhir', 'outbox', 'exchange'],
  audit: ['basics', 'fhir'],
}

const ABOUT_250 = 255

const files = sourceFiles()

describe('the house', () => {
  it('has files to walk', () => {
    expect(files.length).toBeGreaterThan(50)
  })

  it('lets imports run one way: entries, gateway, shell, flow, core', () => {
    const wrong = files.flatMap((file) =>
      file.imports
        .filter((target) => !allowed(HOUSE, room(file.path), room(target)))
        .map((target) => `${file.path} imports ${target}`),
    )
    expect(wrong).toEqual([])
  })

  it('keeps the order inside core', () => {
    const wrong = files
      .filter(({ path }) => room(path) === 'core')
      .flatMap((file) =>
        file.imports
          .filter((target) => !allowed(CORE, coreRoom(file.path), coreRoom(target)))
          .map((target) => `${file.path} imports ${target}`),
      )
    expect(wrong).toEqual([])
  })

  it('has no import cycle', () => {
    expect(cycles(files)).toEqual([])
  })

  it('has no rooms side by side that lean on each other in a circle', () => {
    expect(cycles(roomsOf(files))).toEqual([])
  })

  it('keeps a file to one idea: about 250 lines', () => {
    const long = files.filter(({ lines }) => lines > ABOUT_250).map(({ path }) => path)
    expect(long).toEqual([])
  })

  it('has no drawer that fills up', () => {
    const drawers = files.filter(({ path }) =>
      /(?:^|\/)(?:utils?|misc|lib|helpers?|common)(?:\/|\.ts$)/.test(path),
    )
    expect(drawers.map(({ path }) => path)).toEqual([])
  })
})

function room(path: string): string {
  const [first = ''] = path.split('/')
  if (first === 'gateway.ts') return 'gateway'
  return first.endsWith('.ts') ? 'entry' : first
}

function coreRoom(path: string): string {
  return path.split('/')[1] ?? ''
}

function allowed(plan: Readonly<Record<string, readonly string[]>>, from: string, to: string): boolean {
  return from === to || (plan[from]?.includes(to) ?? false)
}

/**
 * Folders as though they were files: each imports the folders beside it that any file under it imports. Files that stand
 * beside folders are left out: they put the rooms together, or are what all of them rest on.
 */
function roomsOf(all: readonly SourceFile[]): readonly Importing[] {
  const rooms = new Map<string, Set<string>>()
  for (const { path, imports } of all) {
    for (const target of imports) {
      const [from, to] = sideBySide(path, target)
      if (from === undefined || to === undefined) continue
      rooms.set(from, (rooms.get(from) ?? new Set()).add(to))
    }
  }
  return [...rooms].map(([path, imports]) => ({ path, imports: [...imports] }))
}

/** The two folders below the last one that both paths share; undefined where a path has a file there. */
function sideBySide(from: string, to: string): readonly (string | undefined)[] {
  const paths = [from.split('/'), to.split('/')] as const
  const shared = paths[0].findIndex((part, depth) => part !== paths[1][depth])
  return paths.map((parts) => (parts.length > shared + 1 ? parts.slice(0, shared + 1).join('/') : undefined))
}

type Importing = Pick<SourceFile, 'path' | 'imports'>

/** Every import cycle, as the path that closes it. */
function cycles(all: readonly Importing[]): readonly string[] {
  const imports = new Map(all.map(({ path, imports: targets }) => [path, targets]))
  const finished = new Set<string>()
  const found: string[] = []
  const walk = (path: string, trail: readonly string[]): void => {
    const seenAt = trail.indexOf(path)
    if (seenAt !== -1) {
      found.push([...trail.slice(seenAt), path].join(' -> '))
      return
    }
    if (finished.has(path)) return
    for (const target of imports.get(path) ?? []) walk(target, [...trail, path])
    finished.add(path)
  }
  for (const { path } of all) walk(path, [])
  return found
}
