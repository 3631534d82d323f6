import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './App.tsx';
import { connect } from './host.ts';

connect().then((host) => {
  createRoot(document.getElementById('root')!).render(
    <StrictMode>
      <App host={host} />
    </StrictMode>,
  );
});
