import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './App.tsx';
import { connect } from './state/host.ts';
import { oneByOne } from './state/oneByOne.ts';
import './look/tokens.css';
import './look/base.css';
import './sheet/sheet.css';
import './panels/panels.css';
import './look/frame.css';
import './look/parts.css';

const root = document.getElementById('root')!;
connect().then(
  (bridge) =>
    createRoot(root).render(
      <StrictMode>
        <App bridge={oneByOne(bridge)} />
      </StrictMode>,
    ),
  (error: unknown) => {
    root.textContent = error instanceof Error ? error.message : String(error);
  },
);
