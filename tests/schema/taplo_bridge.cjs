// The language server of taplo as its npm package @taplo/lsp has it, behind the pipes of a process: what an editor's
// extension does. node taplo_bridge.cjs FOLDER
const fs = require("fs");
const path = require("path");
const url = require("url");
const { TaploLsp } = require("@taplo/lsp");

const folder = process.argv[2];
const settings = path.join(folder, ".taplo.toml");
const environment = {
  now: () => new Date(),
  envVar: () => undefined,
  envVars: () => [],
  stdErrAtty: () => false,
  stdin: async () => new Uint8Array(),
  stdout: async (bytes) => bytes.length,
  stderr: async (bytes) => bytes.length,
  glob: () => [],
  readFile: async (name) => new Uint8Array(fs.readFileSync(name)),
  writeFile: async () => {},
  urlToFilePath: (name) => url.fileURLToPath(name),
  isAbsolute: (name) => path.isAbsolute(name),
  cwd: () => folder,
  findConfigFile: () => (fs.existsSync(settings) ? settings : undefined),
};

function tell(message) {
  const body = Buffer.from(JSON.stringify(message));
  process.stdout.write(`Content-Length: ${body.length}\r\n\r\n`);
  process.stdout.write(body);
}

let pending = Buffer.alloc(0);

function take(server, data) {
  pending = Buffer.concat([pending, data]);
  for (;;) {
    const head = pending.indexOf("\r\n\r\n");
    if (head < 0) return;
    const length = Number(/content-length: *([0-9]+)/i.exec(pending.subarray(0, head).toString())[1]);
    if (pending.length < head + 4 + length) return;
    const body = pending.subarray(head + 4, head + 4 + length).toString();
    pending = pending.subarray(head + 4 + length);
    server.send(JSON.parse(body));
  }
}

TaploLsp.initialize(environment, { onMessage: tell }).then((server) => {
  process.stdin.on("data", (data) => take(server, data));
});
