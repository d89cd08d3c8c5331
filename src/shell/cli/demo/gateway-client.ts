import { GatewayError } from '../../../core/basics/gateway-error.ts'

/** The demo asked for something and got another answer than it should. Carries the status and problem code only. */
export class DemoFailed extends GatewayError {
  override readonly code = 'UNEXPECTED'
  override readonly retryable = false
}

/** What an integrator's program does over HTTP, no more: JSON and NDJSON with an API key. */
export interface GatewayClient {
  /** `isNew` when the gateway answered 201: something came to be that was not there. */
  send(
    method: 'POST' | 'PUT',
    path: string,
    body: unknown,
  ): Promise<{ readonly isNew: boolean; readonly body: unknown }>
  /** Posts NDJSON and returns the lines of the answer, the summary last. */
  stream(path: string, ndjson: string): Promise<readonly Record<string, unknown>[]>
}

export function gatewayClient(url: string, key: string): GatewayClient {
  const ask = async (method: string, path: string, type: string, body: string) => {
    const response = await fetch(`${url}${path}`, {
      method,
      headers: { 'content-type': type, authorization: `Bearer ${key}` },
      body,
    })
    const text = await response.text()
    if (!response.ok)
      throw new DemoFailed(`${method} ${path.split('/')[1]} was answered with ${response.status}`)
    return { isNew: response.status === 201, text }
  }
  return {
    async send(method, path, body) {
      const { isNew, text } = await ask(method, path, 'application/json', JSON.stringify(body))
      return { isNew, body: JSON.parse(text) }
    },
    async stream(path, ndjson) {
      const { text } = await ask('POST', path, 'application/x-ndjson', ndjson)
      return text
        .split('\n')
        .filter((line) => line !== '')
        .map((line) => JSON.parse(line))
    },
  }
}
