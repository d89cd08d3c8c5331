import type { TlsOptions } from 'node:tls'
import { afterEach, beforeAll, describe, expect, it } from 'vitest'
import type { MessageDestination } from '../../src/core/registry/destination.ts'
import { createMessageReceivers } from '../../src/shell/hl7v2/message-receivers.ts'
import { type MadeAuthority, type MadeCertificate, makeAuthority } from '../support/made-certificates.ts'
import { messageDestination } from '../support/message-destination.ts'
import { answering, playReceiver } from '../support/played-receiver.ts'
import { recordedLog } from '../support/recorded-log.ts'

/** MLLP over TLS: each side proves who it is, or no message leaves. */

const MESSAGE = 'MSH|^~\\&|BPGW|HOMEBP|EHR|CLINIC|20260309080000+0000||ORU^R01^ORU_R01|m1|P|2.5.1\r'

let authority: MadeAuthority
let server: MadeCertificate
let ours: MadeCertificate
beforeAll(async () => {
  authority = await makeAuthority()
  server = await authority.forServer()
  ours = await authority.forClient()
})

const opened: (() => unknown)[] = []
afterEach(async () => {
  for (const close of opened.splice(0)) await close()
})

describe('a receiver over TLS', () => {
  it('takes a message from us when both sides prove who they are', async () => {
    const { receiver, send } = await play(mutual())
    expect(await send({ authorities: authority.certificate, ...ours })).toEqual({ kind: 'accepted' })
    expect(receiver.messages).toEqual([MESSAGE])
  })

  it('needs no certificate of ours where it asks for none', async () => {
    const { send } = await play({ cert: server.certificate, key: server.key })
    expect(await send({ authorities: authority.certificate })).toEqual({ kind: 'accepted' })
  })

  it('gets nothing when we do not believe its certificate', async () => {
    const { receiver, send } = await play(mutual())
    const stranger = await makeAuthority('CN=Authority of somebody else')
    const notTrusted = { kind: 'unsent', problem: 'CLINIC_NOT_TRUSTED' }
    expect(await send({ authorities: stranger.certificate, ...ours })).toEqual(notTrusted)
    expect(await send({ ...ours })).toEqual(notTrusted)
    expect(receiver.messages).toEqual([])
  })

  it('gets nothing when its certificate is for another host', async () => {
    const other = await authority.forServer('receiver.clinic.example')
    const { receiver, send } = await play({ cert: other.certificate, key: other.key })
    expect(await send({ authorities: authority.certificate })).toEqual({
      kind: 'unsent',
      problem: 'CLINIC_NOT_TRUSTED',
    })
    expect(receiver.messages).toEqual([])
  })

  it('takes nothing from us without a certificate, and what we wrote before we heard of it is unheard', async () => {
    for (const maxVersion of ['TLSv1.2', 'TLSv1.3'] as const) {
      const { receiver, send } = await play({ ...mutual(), maxVersion })
      expect(await send({ authorities: authority.certificate })).toEqual({
        // TLS 1.3 lets a client write before the server has judged it (RFC 8446 section 4.4.2.4).
        kind: maxVersion === 'TLSv1.3' ? 'unheard' : 'unsent',
        problem: 'CLINIC_NOT_TRUSTED',
      })
      expect(receiver.messages).toEqual([])
    }
  })

  it('is not tried with a certificate of ours that is none', async () => {
    const { receiver, send } = await play(mutual())
    expect(
      await send({ authorities: authority.certificate, certificate: 'not PEM', key: 'not PEM' }),
    ).toEqual({
      kind: 'unsent',
      problem: 'CLINIC_NOT_TRUSTED',
    })
    expect(receiver.connections).toBe(0)
  })

  it('gets nothing over a plain connection, and a plain one nothing over TLS', async () => {
    const secure = await play(mutual())
    expect(await secure.send(undefined)).toMatchObject({ kind: 'unheard' })
    expect(secure.receiver.messages).toEqual([])
    const plain = await play(undefined)
    expect(await plain.send({ authorities: authority.certificate })).toMatchObject({ kind: 'unsent' })
    expect(plain.receiver.messages).toEqual([])
  })
})

function mutual(): TlsOptions {
  return {
    cert: server.certificate,
    key: server.key,
    ca: authority.certificate,
    requestCert: true,
    rejectUnauthorized: true,
  }
}

async function play(served: TlsOptions | undefined) {
  const receiver = await playReceiver([answering('AA')], served)
  const limits = { connectMs: 2_000, answerMs: 1_000 }
  const receivers = createMessageReceivers({
    clock: { now: () => Date.now() },
    log: recordedLog(),
    ...limits,
  })
  opened.push(
    () => receivers.close(),
    () => receiver.close(),
  )
  let tried = 0
  const send = (tls: MessageDestination['tls']) => {
    tried += 1
    const to = { name: `clinic-${tried}`, port: receiver.port, ...(tls === undefined ? {} : { tls }) }
    return receivers.send(messageDestination(to), MESSAGE)
  }
  return { receiver, send }
}
