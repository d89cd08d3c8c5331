import { request } from 'node:http'

export interface Asked {
  readonly method?: string
  readonly headers?: Readonly<Record<string, string>>
  readonly body?: string | Uint8Array
}

export interface Answer {
  readonly status: number
  readonly headers: Readonly<Record<string, string | string[] | undefined>>
  readonly text: string
  /** The body as JSON; undefined when it is none. */
  readonly json: unknown
}

/** Sends one request just as it is described: unlike fetch, it adds no headers and refuses none. */
export function ask(
  url: string,
  path: string,
  { method = 'GET', headers = {}, body }: Asked = {},
): Promise<Answer> {
  const { hostname, port } = new URL(url)
  return new Promise((resolve, reject) => {
    const sent = request({ hostname, port, path, method, headers, agent: false }, (response) => {
      const chunks: Buffer[] = []
      response.on('data', (chunk: Buffer) => chunks.push(chunk))
      response.on('error', reject)
      response.on('end', () => {
        const text = Buffer.concat(chunks).toString('utf8')
        resolve({ status: response.statusCode ?? 0, headers: response.headers, text, json: jsonOf(text) })
      })
    })
    sent.on('error', reject)
    sent.end(body)
  })
}

export function postJson(
  url: string,
  path: string,
  value: unknown,
  headers: Asked['headers'] = {},
): Promise<Answer> {
  const body = typeof value === 'string' ? value : JSON.stringify(value)
  return ask(url, path, { method: 'POST', headers: { 'Content-Type': 'application/json', ...headers }, body })
}

/** Each line of an NDJSON answer. */
export function linesOf(answer: Answer): readonly Readonly<Record<string, unknown>>[] {
  return answer.text
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line))
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
