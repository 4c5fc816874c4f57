/** The socket that publishes what cells show. */
export interface Outlet {
  /** Sends the frames of one message. */
  send(frames: unknown): Promise<void>;
  /** Sends without waiting for earlier messages, while a cell keeps the thread busy. */
  sendNow?(frames: unknown): void;
  /** Ends the socket. */
  close(): void;
}
type Publisher = Outlet & { sendHighWaterMark: number };

/** The part of tslab's server that opens its sockets. */
export interface PublishingServer {
  /** The socket that publishes. */
  iopub: Outlet;
  /** Opens a socket at its port. */
  bindSocket(socket: Outlet, port: number): Promise<void>;
}

/**
 * tslab sends without waiting. Its socket takes some five hundred messages that way within one turn
 * of the event loop and refuses the rest, and its publisher drops what exceeds its limit of a
 * thousand: a cell that prints much would lose lines silently. Here messages wait for their turn.
 */
export function keepEveryMessage(server: PublishingServer): void {
  const bind = server.bindSocket.bind(server);
  server.bindSocket = (socket, port) => {
    if (socket === server.iopub) server.iopub = inTurn(socket as Publisher);
    return bind(socket, port);
  };
}

function inTurn(publisher: Publisher): Outlet {
  publisher.sendHighWaterMark = 0;
  let turn: Promise<void> = Promise.resolve();
  return {
    send(frames) {
      turn = turn.then(() => publisher.send(frames)).catch(() => {}); // closed: nobody listens
      return turn;
    },
    sendNow(frames) {
      publisher.send(frames).catch(() => {}); // the socket is busy: the next one will do
    },
    close: () => publisher.close(),
  };
}
