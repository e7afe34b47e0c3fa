export declare const engines: readonly {
  readonly name: 'Firefox' | 'WebKitGTK';
  /** What is not on this machine of what it needs; '' where it can run. */
  readonly missing: string;
}[];
export declare function program(name: 'firefox-esr' | 'webkit2gtk-driver' | 'MiniBrowser' | 'xvfb'): string;
