import { expect, it } from 'vitest'
import { withControlId } from './with-control-id.ts'

it('puts the control id in MSH-10 and leaves everything else as it is', () => {
  const rest = '|P|2.5.1\rPID|1||P-1^^^CLINIC^MR||~^^^^^^U\r'
  const header = 'MSH|^~\\&|BPGW||EHR|CLINIC|20260309080000+0000||ORU^R01^ORU_R01|'
  expect(withControlId(`${header}${rest}`, '7f3c0001')).toBe(`${header}7f3c0001${rest}`)
})
