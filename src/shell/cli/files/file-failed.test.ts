import { expect, it } from 'vitest'
import { FileFailed } from './file-failed.ts'

const failed = (act: 'read' | 'write', code: string) =>
  new FileFailed(act, '/a/week.ndjson', Object.assign(new Error('x'), { code }))

it.each([
  ['EACCES', 'FILE_FAILED', 'this user may not write it. Change its rights'],
  ['ENOSPC', 'FILE_FAILED', 'no space is left on its disk. Make room'],
  ['EROFS', 'FILE_FAILED', 'its disk is mounted read-only'],
  ['EEXIST', 'FILE_FAILED', 'there is a file already. Name a new one.'],
  ['EISDIR', 'FILE_FAILED', 'it is a folder'],
  ['ENOENT', 'NOT_FOUND', 'there is no folder /a. Check the path, or make the folder.'],
  ['EIO', 'FILE_FAILED', 'the system says EIO'],
])('says of %s what failed, where, why and what to do', (code, ours, why) => {
  const { message, code: given } = failed('write', code)
  expect(message).toContain(`cannot write /a/week.ndjson: ${why}`)
  expect(given).toBe(ours)
})
