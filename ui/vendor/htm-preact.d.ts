// What the vendored file exports, in the types of preact.
import type { ComponentChildren, VNode } from 'preact';

export { h, render, Component, createContext } from 'preact';
export {
  useCallback, useContext, useDebugValue, useEffect, useErrorBoundary, useImperativeHandle,
  useLayoutEffect, useMemo, useReducer, useRef, useState,
} from 'preact/hooks';
export declare function html(strings: TemplateStringsArray, ...values: unknown[]): VNode;
export type { ComponentChildren, VNode };
