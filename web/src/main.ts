import { mount } from 'svelte';
import App from './views/App.svelte';
import './shared/fonts.css';
import './shared/theme.css';

const target = document.getElementById('app');
if (target) mount(App, { target });
