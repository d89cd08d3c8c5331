import { readdirSync, readFileSync } from 'node:fs'
import { expect, it } from 'vitest'

const FILES = ['src', 'tests', 'samples'].flatMap((folder) =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' }).map((path) => `${folder}/${path}`),
)

it.each(['README.md', 'DEVELOPERS.md'])('%s names no file of code that is not there', (document) => {
  const text = readFileSync(document, 'utf8')
  const named = [...text.matchAll(/`([\w./-]+\.ts)`/g)].map(([, path = '']) => path)
  const gone = named.filter((path) => !FILES.some((file) => `/${file}`.endsWith(`/${path}`)))
  expect(gone).toEqual([])
})
