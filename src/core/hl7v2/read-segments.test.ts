import { describe, expect, it } from 'vitest'
import { readSegments } from './read-segments.ts'

const HEADER = 'MSH|^~\\&|HARBOUR|APP|BPGW|HOMEBP|20260302070000+0000||ORU^R01^ORU_R01|1|P|2.5.1\r'

describe('the segments of a message', () => {
  it('are refused where one of them holds a NUL, which is no text and would end what is kept', () => {
    expect(readSegments(`${HEADER}NTE|1||a\0b\r`)).toMatchObject({
      ok: false,
      issues: [{ code: 'NOT_IN_ENCODING', at: 'segment 2' }],
    })
    expect(readSegments(`${HEADER}NTE|1||a b\r`)).toMatchObject({ ok: true })
  })
})
