import { expect, it } from 'vitest'
import { exampleSettings } from '../../../../tests/support/example-settings.ts'
import { recordedLog } from '../../../../tests/support/recorded-log.ts'
import { warnOfPlainLines } from './warn-of-plain-lines.ts'

it('warns of each line on which patients’ data could be read by the way, and of no other', () => {
  const receiver = {
    kind: 'hl7v2',
    port: 2575,
    receiver: { application: 'A', facility: 'B' },
    authority: 'B',
  }
  const { destinations } = exampleSettings({
    destinations: [
      { name: 'open-server', baseUrl: 'http://records.example/fhir' },
      { name: 'guarded-server', baseUrl: 'https://records.example/fhir' },
      { name: 'server-here', baseUrl: 'http://[::1]:8080/fhir' },
      { name: 'open-receiver', host: 'interface.example', ...receiver },
      { name: 'guarded-receiver', host: 'interface.example', tls: {}, ...receiver },
      { name: 'receiver-here', host: 'localhost', ...receiver },
    ],
  })
  const log = recordedLog()
  warnOfPlainLines(destinations, log)
  expect(log.lines.map(({ event, fields }) => [event, fields?.destination])).toEqual([
    ['destination-without-tls', 'open-server'],
    ['destination-without-tls', 'open-receiver'],
  ])
})
