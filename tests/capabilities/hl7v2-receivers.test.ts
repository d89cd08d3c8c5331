import { afterEach, describe, expect, it } from 'vitest'
import type { MessageDestination } from '../../src/core/registry/destination.ts'
import {
  createMessageReceivers,
  type MessageReceiverOptions,
  type OpenMessageReceivers,
} from '../../src/shell/hl7v2/message-receivers.ts'
import { messageDestination } from '../support/message-destination.ts'
import {
  acknowledgement,
  answering,
  inFrame,
  type PlayedAnswer,
  type PlayedReceiver,
  playReceiver,
} from '../support/played-receiver.ts'
import { recordedLog } from '../support/recorded-log.ts'

/** HL7 v2 over MLLP as receivers and networks really behave: cut, merged, late, wrong, silent, gone. */

const opened: (() => unknown)[] = []
afterEach(async () => {
  for (const close of opened.splice(0)) await close()
})

describe('a message and its acknowledgement', () => {
  it('settles on an AA, and keeps the connection for the next message', async () => {
    const { receiver, send } = await play([answering('AA')])
    expect(await send('m1')).toEqual({ kind: 'accepted' })
    expect(await send('m2')).toEqual({ kind: 'accepted' })
    expect(receiver.messages).toEqual([message('m1'), message('m2')])
    expect(receiver.connections).toBe(1)
  })

  it('is read when it comes byte by byte', async () => {
    const { send } = await play([
      (socket, id) => {
        for (const byte of inFrame(acknowledgement('AA', id))) socket.write(Buffer.from([byte]))
      },
    ])
    expect(await send('m1')).toEqual({ kind: 'accepted' })
  })

  it('is found among others in one chunk: garbage, a late one of an earlier message, then ours', async () => {
    const { send, log } = await play([
      (socket, id) =>
        socket.write(
          Buffer.concat([
            Buffer.from('noise'),
            inFrame(acknowledgement('AE', 'earlier')),
            inFrame('not HL7'),
            inFrame(acknowledgement('AA', id)),
            inFrame(acknowledgement('AR', id)),
          ]),
        ),
    ])
    expect(await send('m1')).toEqual({ kind: 'accepted' })
    expect(log.lines[0]?.fields).toMatchObject({ answer: 'accepted', ignored: 2 })
  })

  it('does not settle the next message when it comes too late', async () => {
    let late = ''
    const { send } = await play(
      [
        (_socket, id) => {
          late = id
        },
        (socket, id) => {
          socket.write(inFrame(acknowledgement('AA', late)))
          socket.write(inFrame(acknowledgement('AE', id)))
        },
      ],
      {},
      { answerMs: 60 },
    )
    expect(await send('m1')).toEqual({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' })
    expect(await send('m2')).toMatchObject({ kind: 'refused' })
  })

  it('waits for the AA after a CA where filing settles, and settles on the CA where storing does', async () => {
    const both: PlayedAnswer = (socket, id) => {
      socket.write(inFrame(acknowledgement('CA', id)))
      socket.write(inFrame(acknowledgement('AE', id)))
    }
    const filed = await play([both], { settledBy: 'application' })
    expect(await filed.send('m1')).toMatchObject({ kind: 'refused', problem: 'CLINIC_REFUSED' })
    const stored = await play([both], { settledBy: 'commit' })
    expect(await stored.send('m1')).toEqual({ kind: 'accepted' })
  })

  it('is unheard when only a CA came and filing settles', async () => {
    const { send } = await play([answering('CA')], { settledBy: 'application' }, { answerMs: 60 })
    expect(await send('m1')).toEqual({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' })
  })

  it('tells a refusal from a rejection, with what was said', async () => {
    const error = 'ERR||OBR^1^4|103^Table value not found^HL70357|E||||No such test'
    const { send } = await play([answering('AE', error), answering('AR', error)])
    const said = { text: expect.stringContaining(error) }
    expect(await send('m1')).toEqual({ kind: 'refused', problem: 'CLINIC_REFUSED', said })
    expect(await send('m2')).toEqual({ kind: 'stop', problem: 'RECEIVER_REJECTS', said })
  })
})

describe('an outcome nobody knows', () => {
  it('is unheard when nothing is answered, and the next message goes over a new connection', async () => {
    const { receiver, send } = await play([() => {}, answering('AA')], {}, { answerMs: 60 })
    expect(await send('m1')).toEqual({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' })
    expect(await send('m1')).toEqual({ kind: 'accepted' })
    expect(receiver.connections).toBe(2)
  })

  it('is unheard when the receiver commits and closes; sent again under the same id it is filed once', async () => {
    const filed = new Map<string, string>()
    const keep: PlayedAnswer = (_socket, id, text) => {
      if (!filed.has(id)) filed.set(id, text)
    }
    const { send } = await play([
      (socket, id, text) => {
        keep(socket, id, text)
        socket.destroy()
      },
      (socket, id, text) => {
        keep(socket, id, text)
        answering('AA')(socket, id, text)
      },
    ])
    expect(await send('m1')).toEqual({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' })
    expect(await send('m1')).toEqual({ kind: 'accepted' })
    expect([...filed]).toEqual([['m1', message('m1')]])
  })

  it.each<[what: string, played: PlayedAnswer]>([
    [
      'an acknowledgement of another message',
      (socket) => socket.write(inFrame(acknowledgement('AA', 'other'))),
    ],
    ['a message without an MSA', (socket) => socket.write(inFrame('MSH|^~\\&|EHR|CLINIC\r'))],
    ['no HL7 in a frame', (socket) => socket.write(inFrame('not HL7'))],
    ['no frame at all', (socket) => socket.write('HTTP/1.1 400 Bad Request\r\n\r\n')],
    ['no frame at all, and hangs up', (socket) => socket.end('HTTP/1.1 400 Bad Request\r\n\r\n')],
    ['an answer that never ends', (socket, id) => socket.write(`\u000b${acknowledgement('AA', id)}`)],
  ])('is unheard, and told from silence, when what comes is %s', async (_what, played) => {
    const { receiver, send } = await play([played, answering('AA')], {}, { answerMs: 60 })
    expect(await send('m1')).toEqual({ kind: 'unheard', problem: 'CLINIC_ANSWER_UNREADABLE' })
    expect(await send('m1')).toEqual({ kind: 'accepted' })
    expect([receiver.messages.length, receiver.connections]).toEqual([2, 2])
  })

  it('is unheard as by silence when only ends of lines come', async () => {
    const { send } = await play([(socket) => socket.write('\r\n')], {}, { answerMs: 60 })
    expect(await send('m1')).toEqual({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' })
  })

  it('is unheard when the answer is larger than is read, or a code that means nothing', async () => {
    const { send } = await play(
      [
        (socket, id) => socket.write(inFrame(acknowledgement('AA', id, `ZZZ|${'x'.repeat(500)}`))),
        answering('OK'),
      ],
      {},
      { maxAnswerBytes: 400 },
    )
    const unreadable = { kind: 'unheard', problem: 'CLINIC_ANSWER_UNREADABLE' }
    expect(await send('m1')).toEqual(unreadable)
    expect(await send('m2')).toEqual(unreadable)
  })

  it('is unheard at once when our own side lets the connection go', async () => {
    let receivers: OpenMessageReceivers | undefined
    const played = await play([() => receivers?.close()])
    receivers = played.receivers
    expect(await played.send('m1')).toEqual({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' })
  })
})

describe('a message that never left', () => {
  it('is unsent when nothing listens', async () => {
    const { receiver, send } = await play([answering('AA')])
    await receiver.close()
    expect(await send('m1')).toEqual({ kind: 'unsent', problem: 'CLINIC_UNREACHABLE' })
  })

  it('is unsent and untried when its turn does not come in time, and is not sent later', async () => {
    const { receiver, send } = await play(
      [(socket, id, text) => setTimeout(() => answering('AA')(socket, id, text), 120)],
      {},
      { turnMs: 40 },
    )
    const [first, second] = await Promise.all([send('m1'), send('m2')])
    expect(first).toEqual({ kind: 'accepted' })
    expect(second).toEqual({ kind: 'unsent', problem: 'CLINIC_BUSY', untried: true })
    expect(await send('m3')).toEqual({ kind: 'accepted' })
    expect(receiver.messages).toEqual([message('m1'), message('m3')])
  })
})

describe('one connection', () => {
  it('has one message under way at a time, in the order they were given', async () => {
    let underWay = 0
    let most = 0
    const { receiver, send } = await play([
      (socket, id, text) => {
        underWay += 1
        most = Math.max(most, underWay)
        setImmediate(() => {
          underWay -= 1
          answering('AA')(socket, id, text)
        })
      },
    ])
    const ids = Array.from({ length: 12 }, (_, at) => `m${at}`)
    const answers = await Promise.all(ids.map(send))
    expect(answers.every(({ kind }) => kind === 'accepted')).toBe(true)
    expect(most).toBe(1)
    expect(receiver.messages).toEqual(ids.map(message))
    expect(receiver.connections).toBe(1)
  })

  it('is opened again after the receiver closed it between two messages', async () => {
    const closeAfter: PlayedAnswer = (socket, id) => socket.end(inFrame(acknowledgement('AA', id)))
    const { receiver, send } = await play([closeAfter])
    for (const id of ['m1', 'm2', 'm3']) {
      expect(await send(id)).toEqual({ kind: 'accepted' })
      await until(() => receiver.open === 0)
    }
    expect(receiver.messages).toHaveLength(3)
  })

  it('is let go when it is not used, or after each message', async () => {
    for (const idleMs of [30, 0]) {
      const { receiver, send } = await play([answering('AA')], {}, { idleMs })
      expect(await send('m1')).toEqual({ kind: 'accepted' })
      await until(() => receiver.open === 0)
      expect(await send('m2')).toEqual({ kind: 'accepted' })
      expect(receiver.connections).toBe(2)
    }
  })
})

describe('a receiver that fails again and again', () => {
  it('rests: it is named, nothing is tried, and after the rest it is tried again', async () => {
    const { receiver, receivers, send, log } = await play(
      [(socket) => socket.destroy(), (socket) => socket.destroy(), answering('AA')],
      {},
      { failuresBeforeRest: 2, restMs: 80 },
    )
    expect((await send('m1')).kind).toBe('unheard')
    expect(receivers.resting()).toEqual([])
    expect((await send('m2')).kind).toBe('unheard')
    expect(receivers.resting()).toEqual(['clinic-messages'])
    const rested = { kind: 'unsent', problem: 'CLINIC_RESTING', untried: true }
    expect(await send('m3')).toMatchObject({ ...rested, retryAfterMs: expect.any(Number) })
    expect(receiver.messages).toHaveLength(2)
    await until(() => receivers.resting().length === 0)
    expect(await send('m3')).toEqual({ kind: 'accepted' })
    expect(log.lines.map(({ event }) => event)).toEqual([
      'receiver-answered',
      'clinic-rests',
      'receiver-answered',
      'receiver-answered',
      'clinic-answers-again',
      'receiver-answered',
    ])
  })

  it('rests longer after each try that fails, up to a limit, and as long as at first once it answered', async () => {
    const hangsUp: PlayedAnswer = (socket) => socket.destroy()
    const { receivers, send, log } = await play(
      [hangsUp, hangsUp, hangsUp, hangsUp, answering('AA'), hangsUp],
      {},
      { failuresBeforeRest: 1, restMs: 20, longestRestMs: 50 },
    )
    const kinds: string[] = []
    for (let count = 1; count <= 6; count += 1) {
      kinds.push((await send(`m${count}`)).kind)
      await until(() => receivers.resting().length === 0)
    }
    expect(kinds).toEqual(['unheard', 'unheard', 'unheard', 'unheard', 'accepted', 'unheard'])
    const rests = log.lines.filter(({ event }) => event === 'clinic-rests')
    expect(rests.map(({ fields }) => fields?.ms)).toEqual([20, 40, 50, 50, 20])
  })

  it('does not rest for refusals: it answers', async () => {
    const { receivers, send } = await play([answering('AE')], {}, { failuresBeforeRest: 2 })
    for (const id of ['m1', 'm2', 'm3']) expect((await send(id)).kind).toBe('refused')
    expect(receivers.resting()).toEqual([])
  })
})

describe('the log', () => {
  it('has one line for each exchange, with nothing of the message or the answer', async () => {
    const { send, log } = await play([answering('AE', 'ERR||PID^1^3|204|E||||Pat Test is not known')])
    await send('m1')
    expect(log.lines).toEqual([
      {
        level: 'info',
        event: 'receiver-answered',
        fields: {
          destination: 'clinic-messages',
          controlId: 'm1',
          answer: 'refused',
          ms: expect.any(Number),
          problem: 'PATIENT_UNKNOWN',
        },
      },
    ])
  })
})

async function play(
  answers: readonly PlayedAnswer[],
  destination: Partial<MessageDestination> = {},
  limits: Partial<MessageReceiverOptions> = {},
) {
  const receiver: PlayedReceiver = await playReceiver(answers)
  const log = recordedLog()
  const receivers = createMessageReceivers({ clock: { now: () => Date.now() }, log, ...limits })
  opened.push(
    () => receivers.close(),
    () => receiver.close(),
  )
  const to = messageDestination({ port: receiver.port, ...destination })
  return { receiver, receivers, log, send: (controlId: string) => receivers.send(to, message(controlId)) }
}

function message(controlId: string): string {
  return `MSH|^~\\&|BPGW|HOMEBP|EHR|CLINIC|20260309080000+0000||ORU^R01^ORU_R01|${controlId}|P|2.5.1\rPID|1||4711\r`
}

/** Waits for what the other side of a socket does. */
async function until(holds: () => boolean): Promise<void> {
  while (!holds()) await new Promise((resolve) => setTimeout(resolve, 5))
}
