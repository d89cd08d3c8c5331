import type { AddressInfo } from 'node:net'
import express from 'express'

/** The floor of a single post: an Express route that parses a JSON body and answers it. Prints its port. */
const app = express()
app.disable('x-powered-by')
app.set('etag', false)
app.post('/sessions', express.json(), (request, response) => {
  response.json(request.body)
})
const server = app.listen(0, '127.0.0.1', () => {
  process.stdout.write(
    `${JSON.stringify({ listening: `http://127.0.0.1:${(server.address() as AddressInfo).port}` })}\n`,
  )
})
