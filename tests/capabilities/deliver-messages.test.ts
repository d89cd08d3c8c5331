/** A clinic without FHIR is sent HL7 v2 messages; the same thing is the same message, however often it is sent. */
import { afterEach, describe, expect, it } from 'vitest'
import type { MessageAnswer } from '../../src/core/hl7v2/message-answer.ts'
import { followArrivals } from '../../src/flow/follow/follow-arrivals.ts'
import { resumeRoute } from '../../src/flow/operate/resume-route.ts'
import { retryDelivery } from '../../src/flow/operate/retry-deliveries.ts'
import { closePeriod } from '../../src/flow/periods/close-period.ts'
import type { MessageReceivers } from '../../src/flow/ports/ports.ts'
import { createMessageReceivers } from '../../src/shell/hl7v2/message-receivers.ts'
import { answering, playReceiver } from '../support/played-receiver.ts'
import {
  NOTHING,
  openDelivery,
  type QueuedDelivery,
  queueSessions,
  sitting,
} from '../support/queued-delivery.ts'
import { recordedLog } from '../support/recorded-log.ts'

const RECEIVER = {
  kind: 'hl7v2',
  host: '127.0.0.1',
  port: 2575,
  authority: 'CLINIC',
  receiver: { application: 'EHR', facility: 'CLINIC' },
}

let at: QueuedDelivery
let sent: string[]
let answers: MessageAnswer[]

async function start(): Promise<void> {
  sent = []
  answers = []
  const receivers: MessageReceivers = {
    send: (_destination, message) => {
      sent.push(message)
      return Promise.resolve(answers.shift() ?? { kind: 'accepted' })
    },
    resting: () => [],
  }
  at = await openDelivery({ destination: RECEIVER, receivers })
}
afterEach(() => at.flows.close())

const controlId = (message: string | undefined) => message?.split('\r')[0]?.split('|')[9]
const said = { text: 'MSA|AE|1' }

describe('a message', () => {
  it('is settled by its acknowledgement', async () => {
    await start()
    await queueSessions(at)
    expect(await at.deliver()).toEqual({ ...NOTHING, settled: 1, created: 2 })
    expect(sent).toHaveLength(1)
    expect(sent[0]).toContain('P-HW-1^^^CLINIC')
  })

  it.each(['CLINIC_UNREACHABLE', 'CLINIC_ANSWER_UNREADABLE'] as const)(
    'that nobody acknowledged (%s) is sent again under the same control id, byte for byte',
    async (problem) => {
      await start()
      await queueSessions(at)
      answers.push({ kind: 'unheard', problem })
      expect(await at.deliver()).toMatchObject({ waiting: 1 })
      const { quietMs } = at.flows.ports.policy.delivery
      const { uncertain, lastProblem, attempts, dueMs } = await at.first()
      expect({ uncertain, lastProblem, attempts }).toEqual({
        uncertain: true,
        lastProblem: problem,
        attempts: 1,
      })
      expect(dueMs).toBeGreaterThanOrEqual(at.flows.ports.clock.now() + quietMs)
      expect(await at.deliverLater()).toMatchObject({ settled: 1 })
      expect(sent[1]).toBe(sent[0])
      expect(controlId(sent[0])).toMatch(/^[\da-f]{20}$/)
    },
  )

  it('is not held back by one that nobody acknowledged, although it names the same monitor', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1'])
    answers.push({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' })
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    await queueSessions(at, 'HW-2', ['s-2'])
    expect(await at.deliver()).toMatchObject({ settled: 1, waiting: 0 })
  })

  it('put right after a refusal has another control id: a receiver would answer it as it answered before', async () => {
    await start()
    await queueSessions(at)
    answers.push({ kind: 'refused', problem: 'PATIENT_UNKNOWN', said })
    expect(await at.deliver()).toMatchObject({ parked: 1 })
    await at.flows.enrol('HW-1', { patient: { system: 'https://clinic.example/mrn', value: 'P-2' } })
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(sent.map((message) => /\|(P-[^^]+)/.exec(message)?.[1])).toEqual(['P-HW-1', 'P-2'])
    expect(new Set(sent.map(controlId)).size).toBe(2)
  })

  it('that says what another one waiting before it says has the control id of that', async () => {
    await start()
    await queueSessions(at)
    const period = await at.flows.openPeriod('HW-1', '2026-03-01', 7)
    const close = () => closePeriod(period, 'operator', at.flows.ports)
    expect(await close()).toMatchObject({ value: { issuedNow: true } })
    await at.flows.receive([sitting('s-2', 'HW-1', 121)])
    await followArrivals(at.flows.ports)
    expect(await close()).toMatchObject({ value: { issuedNow: true } })
    expect(await at.deliver()).toMatchObject({ settled: 4 })
    expect(sent).toHaveLength(4)
    expect(new Set(sent).size).toBe(3)
    expect(new Set(sent.map(controlId)).size).toBe(3)
  })

  it('about something else, or of a later version, has another control id', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    at.later()
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    await at.deliver()
    expect(new Set(sent.map(controlId)).size).toBe(3)
  })

  it('that is refused is given up, with what was said', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    answers.push({ kind: 'refused', problem: 'CLINIC_REFUSED', said })
    expect(await at.deliver()).toMatchObject({ givenUp: 1, settled: 1 })
    expect(await at.first()).toMatchObject({ state: 'given-up', said })
  })

  it.each([
    ['AE', { state: 'given-up', problem: 'CLINIC_REFUSED' }],
    ['AE with an unknown patient', { state: 'parked', problem: 'PATIENT_UNKNOWN' }],
    ['AR', { state: 'waiting', problem: 'RECEIVER_REJECTS' }],
  ])(
    'that a receiver refuses and remembers (%s) is taken once the cause is mended there',
    async (code, then) => {
      // Answers a control id as it answered it before; in between an acknowledgement is lost.
      const remembered = new Map<string, string>()
      let isMended = false
      let isLost = false
      const receiver = await playReceiver([
        (socket, id, message) => {
          const refusal = isMended ? 'AA' : code.slice(0, 2)
          const answer = remembered.get(id) ?? refusal
          remembered.set(id, answer)
          const unknown = code.length > 2 ? ['ERR||PID^1^3|204^Unknown key identifier^HL70357|E'] : []
          if (isLost) socket.destroy()
          else answering(answer, ...(answer === 'AA' ? [] : unknown))(socket, id, message)
        },
      ])
      const receivers = createMessageReceivers({ clock: { now: () => Date.now() }, log: recordedLog() })
      const destination = { ...RECEIVER, port: receiver.port }
      at = await openDelivery({ destination, receivers })
      await queueSessions(at)
      const again = async () => {
        if (code === 'AR') await resumeRoute('clinic', 'operator', at.flows.ports)
        else await retryDelivery((await at.first()).id, 'operator', at.flows.ports)
      }
      for (let refused = 1; refused <= 3; refused += 1) {
        await at.deliver()
        const { state, lastProblem } = await at.first()
        expect({ state, problem: lastProblem }).toEqual(then)
        expect(remembered.size).toBe(refused)
        await again()
      }
      isMended = true
      isLost = true
      expect(await at.deliver()).toMatchObject({ waiting: 1 })
      isLost = false
      expect(await at.deliverLater()).toMatchObject({ settled: 1 })
      const lastTwo = receiver.messages.slice(-2)
      expect(new Set(lastTwo).size).toBe(1)
      receivers.close()
      await receiver.close()
    },
  )

  it('that takes something back, and the one that brings it anew, are refused and remembered one after the other', async () => {
    const remembered = new Map<string, string>()
    let isRefused: (message: string) => boolean = () => false
    const receiver = await playReceiver([
      (socket, id, message) => {
        const answer = remembered.get(id) ?? (isRefused(message) ? 'AE' : 'AA')
        remembered.set(id, answer)
        answering(answer)(socket, id, message)
      },
    ])
    const receivers = createMessageReceivers({ clock: { now: () => Date.now() }, log: recordedLog() })
    at = await openDelivery({ destination: { ...RECEIVER, port: receiver.port }, receivers })
    await queueSessions(at)
    await at.deliver()
    await at.flows.enrol('HW-1', { patient: { system: 'https://clinic.example/mrn', value: 'P-2' } })
    const before = remembered.size
    const again = async () => {
      const [moved] = (await at.entries()).filter(({ movedFrom }) => movedFrom !== undefined)
      await retryDelivery(moved?.id ?? 0, 'operator', at.flows.ports)
      return at.deliver()
    }
    isRefused = () => true
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    isRefused = (message) => message.includes('P-2')
    expect(await again()).toMatchObject({ givenUp: 1 })
    expect(await again()).toMatchObject({ givenUp: 1 })
    isRefused = () => false
    expect(await again()).toMatchObject({ settled: 1 })
    // Taken back once, under one control id, and brought once.
    const taken = [...remembered].slice(before).filter(([, answer]) => answer === 'AA')
    expect(taken).toHaveLength(2)
    receivers.close()
    await receiver.close()
  })

  it('about a patient whom the receiver does not know waits for the enrolment, and what is behind it too', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    answers.push({ kind: 'refused', problem: 'PATIENT_UNKNOWN', said })
    expect(await at.deliver()).toEqual({ ...NOTHING, parked: 1 })
    await at.flows.enrol('HW-1', { patient: { system: 'https://clinic.example/mrn', value: 'P-right' } })
    expect(await at.deliver()).toMatchObject({ settled: 2 })
    expect(sent.at(-1)).toContain('P-right^^^CLINIC')
  })

  it('that is rejected stops the route until an operator resumes it', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1'])
    await queueSessions(at, 'HW-2', ['s-2'])
    answers.push(...Array<MessageAnswer>(2).fill({ kind: 'stop', problem: 'RECEIVER_REJECTS', said }))
    await at.deliver()
    expect(await at.first()).toMatchObject({ state: 'waiting', attempts: 0, said })
    expect(await at.deliverLater()).toEqual(NOTHING)
    await resumeRoute('clinic', 'operator', at.flows.ports)
    expect(await at.deliver()).toMatchObject({ settled: 2 })
  })

  it('that could not leave is no doubt', async () => {
    await start()
    await queueSessions(at)
    answers.push({ kind: 'unsent', problem: 'CLINIC_UNREACHABLE' })
    await at.deliver()
    expect(await at.first()).toMatchObject({ state: 'waiting', attempts: 1, uncertain: false })
  })
})
