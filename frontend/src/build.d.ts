/** What the build writes into the app. */
declare const __APP__: string;
