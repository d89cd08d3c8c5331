import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { root } from './source-files.ts'

/** Text without its fenced blocks: a `#` there is a comment, and a bracket is code. */
function read(document: string): string {
  return readFileSync(join(root, document), 'utf8').replace(/^```.*?^```$/gms, '')
}

/** The anchor a code host gives each heading; one that repeats gets a number, which no link of ours should rest on. */
function anchors(document: string): readonly string[] {
  return [...read(document).matchAll(/^#+ (.+)$/gm)].map(([, heading = '']) =>
    heading
      .toLowerCase()
      .replace(/[^\p{L}\p{N}_ -]/gu, '')
      .replaceAll(' ', '-'),
  )
}

it.each(['README.md', 'DEVELOPERS.md'])('every relative link of %s leads somewhere', (document) => {
  const links = [...read(document).matchAll(/\]\(([^)\s]+)\)/g)].map(([, target = '']) => target)
  const relative = links.filter((target) => !/^[a-z]+:/.test(target))
  expect(relative).not.toEqual([])
  const broken = relative.filter((target) => {
    const [path, anchor] = target.split('#')
    const to = path || document
    if (!existsSync(join(root, to))) return true
    return anchor !== undefined && !anchors(to).includes(anchor)
  })
  expect(broken).toEqual([])
})

it.each(['README.md', 'DEVELOPERS.md'])('no two headings of %s have the same anchor', (document) => {
  const all = anchors(document)
  expect(all.filter((anchor, at) => all.indexOf(anchor) !== at)).toEqual([])
})
