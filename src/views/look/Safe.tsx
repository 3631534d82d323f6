import { Component, type ReactNode } from 'react';

/**
 * A part of the screen whose failure takes nothing else with it: what was typed is in the store, and file and undo
 * stay at hand.
 */
export class Safe extends Component<{ readonly children: ReactNode }, { readonly failure: string | null }> {
  override state = { failure: null };

  static getDerivedStateFromError(error: unknown) {
    return { failure: error instanceof Error ? error.message : String(error) };
  }

  override render() {
    const { failure } = this.state;
    if (failure === null) return this.props.children;
    return (
      <div className="notice bad" role="alert">
        <span>
          ✕ This part of the screen failed. It is a fault of the program: {failure}. Nothing you typed is
          gone: you can save or undo it.
        </span>
        <button type="button" onClick={() => this.setState({ failure: null })}>
          Show it again
        </button>
      </div>
    );
  }
}
