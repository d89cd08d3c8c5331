import type { UseExample } from './use-example.ts'

/** The id that opening the period of these examples gives: UUIDv5 of what it is of. */
const PERIOD = { id: 'e82f5974-fbdf-55dd-bffc-644b5d056903' }
const REVISION = { ...PERIOD, revision: 1 }

/** Periods, averages, deliveries and the trail. */
export const OUTCOME_EXAMPLES: Readonly<Record<string, readonly UseExample[]>> = {
  listProtocols: [{ name: 'all', summary: 'Those that are loaded' }],
  openPeriod: [
    {
      name: 'days',
      summary: 'Three days under a protocol',
      body: {
        type: 'application/json',
        value: {
          source: 'harbour-app',
          subject: 'HW-1002',
          protocol: 'nice-ng136-home',
          firstDay: '2026-03-02',
          days: 3,
        },
      },
    },
  ],
  listPeriods: [
    { name: 'first', summary: 'The first page', parameters: { limit: 20 } },
    {
      name: 'open',
      summary: 'Those of one person that are open',
      parameters: { source: 'harbour-app', subject: 'HW-1002', state: 'open' },
    },
  ],
  readPeriod: [{ name: 'open', summary: 'One that is open', parameters: PERIOD }],
  closePeriod: [{ name: 'now', summary: 'Before it is due', parameters: PERIOD }],
  withdrawPeriod: [
    { name: 'averaged', summary: 'One that was averaged already', parameters: PERIOD },
    {
      name: 'unknown',
      refused: true,
      summary: 'No such period',
      parameters: { id: '00000000-0000-5000-8000-000000000000' },
    },
  ],
  readAverage: [{ name: 'newest', summary: 'For people', parameters: PERIOD }],
  readBundle: [{ name: 'newest', summary: 'For the clinic', parameters: PERIOD }],
  listAverages: [{ name: 'all', summary: 'One so far', parameters: PERIOD }],
  readIssuedAverage: [{ name: 'first', summary: 'The first one', parameters: REVISION }],
  readIssuedBundle: [{ name: 'first', summary: 'The first one', parameters: REVISION }],
  comparePeriod: [{ name: 'all', summary: 'Under every protocol', parameters: PERIOD }],
  sweepAverages: [
    {
      name: 'three-days',
      summary: 'Everyone’s three days',
      parameters: { protocol: 'nice-ng136-home', firstDay: '2026-03-02', days: 3 },
    },
  ],
  listDeliveries: [
    { name: 'waiting', summary: 'Those that wait', parameters: { state: 'waiting', limit: 2 } },
  ],
  retryDeliveries: [{ name: 'given-up', summary: 'All given up', parameters: { state: 'given-up' } }],
  readDelivery: [{ name: 'one', summary: 'A session’s', parameters: { id: 1 } }],
  previewDelivery: [{ name: 'one', summary: 'Before it is sent', parameters: { id: 1 } }],
  retryDelivery: [
    { name: 'one', summary: 'Again', parameters: { id: 1 } },
    { name: 'waiting', refused: true, summary: 'One that waits', parameters: { id: 1 } },
  ],
  confirmDelivery: [
    { name: 'one', summary: 'It is there', parameters: { id: 1 } },
    { name: 'settled', refused: true, summary: 'One that is settled', parameters: { id: 1 } },
  ],
  listDestinations: [{ name: 'all', summary: 'All of them' }],
  resumeDestination: [
    { name: 'one', summary: 'One that was not stopped', parameters: { name: 'lantern-bay' } },
  ],
  readAudit: [{ name: 'first', summary: 'The first rows', parameters: { limit: 2 } }],
  verifyAudit: [{ name: 'intact', summary: 'Nothing was changed' }],
}
