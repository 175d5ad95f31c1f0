// What our scripts use of idb.js, for the type checker.
interface Store {
  get(key: IDBValidKey): Promise<any>;
  put(value: any, key?: IDBValidKey): Promise<unknown>;
  delete(key: IDBValidKey): Promise<void>;
  getAll(): Promise<any[]>;
}
interface Transaction {
  objectStore(name: string): Store;
  done: Promise<void>;
}
interface Database {
  get(store: string, key: IDBValidKey): Promise<any>;
  getAll(store: string): Promise<any[]>;
  put(store: string, value: any, key?: IDBValidKey): Promise<unknown>;
  transaction(stores: string[], mode: 'readwrite', options?: { durability: 'strict' }): Transaction;
  createObjectStore(name: string, options?: { keyPath: string }): Store;
}
export function openDB(
  name: string,
  version: number,
  callbacks: { upgrade(database: Database): void },
): Promise<Database>;
