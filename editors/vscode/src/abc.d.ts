// What the bundler makes of a score: its text.
declare module "*.abc" {
  const text: string;
  export default text;
}
