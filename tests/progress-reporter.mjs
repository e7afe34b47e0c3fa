// Tells tests/run.mjs of every test and file of tests as it ends, so that it sees a hang and knows the counts of a part that it has to stop.
export default class ProgressReporter {
  onTestCaseResult(test) {
    process.send?.({ ended: 'test', passed: test.result().state === 'passed' });
  }

  onTestModuleEnd(file) {
    const isBroken = file.state() === 'failed' && file.children.allTests().next().done;
    process.send?.({ ended: 'file', broken: isBroken });
  }
}
