// npm start: installs what is missing, builds what changed, serves the app on this machine only.
import { ensureBuild, ensurePackages } from './setup.mjs';

ensurePackages();
ensureBuild();
const { preview } = await import('vite');
const server = await preview({
  preview: { host: '127.0.0.1', port: Number(process.env.PORT ?? 4173), strictPort: false },
  logLevel: 'warn',
});
console.log(`Kinstand is ready: ${server.resolvedUrls.local[0]}`);
console.log('Stop it with Ctrl+C.');

function stop() {
  setTimeout(() => process.exit(0), 300).unref();
  server.httpServer.closeAllConnections?.();
  void server.close().finally(() => process.exit(0));
}
for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, stop);
// npm starts this through a shell that does not pass signals on: leave when the parent is gone.
const parent = process.ppid;
setInterval(() => {
  if (process.ppid !== parent) stop();
}, 500).unref();
