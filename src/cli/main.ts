export async function main(args: string[]): Promise<number> {
  console.log('hello', args.join(','));
  return 0;
}
